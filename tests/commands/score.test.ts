import { gzipSync } from 'node:zlib';
import { MIDIBuilder } from 'spessasynth_core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { ScoreJson } from '../../src/commands/score/score.js';
import { demoReadings, demoTune } from '../../src/demo/demo.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { BASS } from '../support/bass.js';
import { run as runIn, workFolder, type Ended } from './program.js';

const folder = workFolder();
const put = (name: string, content: string | Uint8Array): string => folder.write(name, content);
const run = (...args: string[]): Promise<Ended> => runIn(args, folder.path);

/** Scores against the tune, unless another list of wanted notes is named. */
function scored(take: string, ...more: string[]): Promise<Ended> {
  const wanted = more.includes('--wanted') ? [] : ['--wanted', 'tune.notes.jsonl'];
  return run('score', take, ...wanted, ...more);
}

async function json(take: string, ...more: string[]): Promise<ScoreJson> {
  const { code, out } = await scored(take, '--json', ...more);
  expect(code).toBe(0);
  expect(out.trim().split('\n').length).toBe(1);
  return JSON.parse(out) as ScoreJson;
}

/** The demo's tune as a teacher would write it: 108 beats a minute, one second to get ready. */
const TUNE = demoTune().map(({ beat, note, beats, strength }) => ({
  t: Math.round(1_000_000 + (beat * 1_000_000) / 1.8),
  type: 'on',
  note,
  strength,
  duration: Math.round((beats * 1_000_000) / 1.8),
}));
const lines = (list: readonly unknown[]): string =>
  list.map((one) => `${JSON.stringify(one)}\n`).join('');
const PNG = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13);
const ON = '{"t":1000000,"type":"on","note":33,"velocity":96}\n';

beforeAll(() => {
  const take = [
    formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' }),
    ...Array.from(demoReadings(BASS, 20, 5), formatTakeLine),
    '',
  ].join('\n');
  put('tune.take.jsonl', take);
  put('tune.notes.jsonl', lines(TUNE));
});

afterAll(() => {
  folder.remove();
});

describe('score', () => {
  it('finds every note of a made-up take in the tune that it was made from', async () => {
    const result = await json('tune.take.jsonl');
    const all = TUNE.length;
    expect(result).toMatchObject({ f: 1, precision: 1, recall: 1, missed: [], added: [] });
    expect(result).toMatchObject({ wanted: all, played: all, right: all, window: 50_000 });
    expect(result.leftOut).toEqual({ wanted: 0, played: 0 });
    expect(result.matched.length).toBe(all);
    // A finger lands within 8 ms, scans are 4 ms apart, and one more reading may be waited for.
    expect(result.onsetDelay!.median).toBeGreaterThan(0);
    expect(result.onsetDelay!.p99).toBeLessThanOrEqual(16_000);
    expect(result.velocityRank).toMatchObject({ pairs: all, with: 'strength' });
    // Without a build the first touches of each pad sound near a middle strength.
    expect(result.velocityRank.correlation).toBeGreaterThan(0.4);
  });

  it('says so in plain words', async () => {
    const { code, out, err } = await scored('tune.take.jsonl');
    expect({ code, err }).toEqual({ code: 0, err: '' });
    const [first, blank, ...rest] = out.trimEnd().split('\n');
    expect(first).toMatch(/^36 notes wanted, 36 played, 36 right/);
    expect(blank).toBe('');
    const told = rest.map((line) => line.trim().split(/ {2,}/));
    for (const columns of told) expect(columns.length).toBe(3);
    const figures = Object.fromEntries(told.map(([label, figure]) => [label, figure]));
    expect(figures).toMatchObject({ F: '1.000', precision: '1.000', recall: '1.000' });
    expect(figures).toMatchObject({ missed: '0', added: '0' });
    for (const time of ['onset delay', '99 %', 'mean'])
      expect(figures[time]).toMatch(/^\d+\.\d ms$/);
    for (const part of ['velocity', 'F with ends']) expect(figures[part]).toMatch(/^[01]\.\d{3}$/);
  });

  it('names the missed and the added notes, and where they are', async () => {
    // A wrong note instead of the second, and one more than the tune has.
    const other = TUNE.map((one, i) => (i === 1 ? { ...one, note: 47 } : one));
    put('other.notes.jsonl', lines([...other, { t: 30_000_000, type: 'on', note: 40 }]));
    const { out } = await scored('tune.take.jsonl', '--wanted', 'other.notes.jsonl');
    expect(out).toContain('37 notes wanted, 36 played, 35 right');
    expect(out).toMatch(
      /missed:\n +1\.833 s {2}B2\n +30\.000 s {2}E2\n\nadded:\n +1\.\d{3} s {2}G1\n/,
    );
    const result = await json('tune.take.jsonl', '--wanted', 'other.notes.jsonl');
    const { f, missed, added, withOffsets } = result;
    expect(f).toBeCloseTo((2 * 35) / (36 + 37), 12);
    expect(missed.map(({ note }) => note)).toEqual([47, 40]);
    expect(added.map(({ note }) => note)).toEqual([31]);
    expect(withOffsets).toBeNull();
  });

  it('never rounds up to a perfect 1.000', async () => {
    const many = Array.from({ length: 4000 }, (_, i) => ({ t: 200_000 * i, type: 'on', note: 33 }));
    put('many.jsonl', lines(many));
    put('all-but-one.jsonl', lines(many.slice(1)));
    const { out } = await run('score', 'all-but-one.jsonl', '--wanted', 'many.jsonl');
    expect(out).toMatch(/^ {2}F +0\.999 /m);
    expect(out).toMatch(/^ {2}precision +1\.000 /m);
  });

  it('scores what rerun wrote as it scores the take, gzipped too', async () => {
    expect((await run('rerun', 'tune.take.jsonl', '--notes', 'again.jsonl')).code).toBe(0);
    expect((await run('rerun', 'tune.take.jsonl', '--notes', 'again.jsonl.gz')).code).toBe(0);
    const live = await json('tune.take.jsonl');
    const { matched: livePairs, ...figures } = live;
    for (const name of ['again.jsonl', 'again.jsonl.gz']) {
      const { matched, ...rest } = await json(name);
      expect(rest).toEqual(figures);
      expect(matched.length).toBe(livePairs.length);
    }
    const same = await json('again.jsonl', '--wanted', 'again.jsonl.gz');
    expect(same).toMatchObject({ f: 1, withOffsets: { f: 1 }, velocityRank: { correlation: 1 } });
    expect(same.onsetDelay).toEqual({ median: 0, p99: 0, mean: 0, spread: 0 });
  });

  it('runs the take by the rules, instrument and folder that are asked for', async () => {
    put('deaf.yaml', 'name: deaf\nvelocity:\n  softest: 64\n  hardest: 64\n');
    const rules = ['--rules', './deaf.yaml', '--folder', folder.path];
    const { f, velocityRank } = await json('tune.take.jsonl', '--instrument', 'bass-4x4', ...rules);
    expect(f).toBe(1);
    expect(velocityRank.correlation).toBeNull();
    const { out } = await scored('tune.take.jsonl', ...rules);
    expect(out).toMatch(/^ {2}velocity +- .*alike$/m);
  });

  it('keeps to a window of one’s own', async () => {
    put('early.jsonl', ON);
    put('late.jsonl', ON.replace('1000000', '1060000'));
    expect((await json('late.jsonl', '--wanted', 'early.jsonl')).f).toBe(0);
    expect((await json('late.jsonl', '--wanted', 'early.jsonl', '--window', '60ms')).f).toBe(1);
    const { out } = await scored('late.jsonl', '--wanted', 'early.jsonl', '--window', '60ms');
    expect(out).toContain('at most 60ms early or late');
  });
});

describe('score of a take that began at another time', () => {
  const late = TUNE.map((one) => ({ ...one, t: one.t - 950_000 }));

  it('says that all fit if moved, and moves them where asked to', async () => {
    put('late.notes.jsonl', lines(late));
    const plain = await scored('tune.take.jsonl', '--wanted', 'late.notes.jsonl');
    expect(plain.out).toMatch(/^36 notes wanted, 36 played, [0-9] right/);
    expect(plain.out).toMatch(/^Moved by \+0\.95\d s, all 36 would be right: add --align/m);
    const { better, moved, right } = await json('tune.take.jsonl', '--wanted', 'late.notes.jsonl');
    expect(better!.right).toBe(36);
    expect([moved, right < 10]).toEqual([0, true]);
    const aligned = await scored('tune.take.jsonl', '--wanted', 'late.notes.jsonl', '--align');
    expect(aligned.out).toMatch(
      /^36 notes wanted, 36 played, 36 right .*\nThe wanted notes were moved by \+0\.95\d s to fit\.\n/,
    );
    const found = await json('tune.take.jsonl', '--wanted', 'late.notes.jsonl', '--align');
    expect(found).toMatchObject({ f: 1, better: null });
    // Half of the notes are early then and half late.
    expect(Math.abs(found.onsetDelay!.median)).toBeLessThan(2_000);
    expect(Math.abs(found.moved - 950_000)).toBeLessThan(16_000);
  });

  it('says nothing of that where the tune is another one', async () => {
    put('other-tune.jsonl', lines(late.map((one, i) => ({ ...one, note: 60 + ((7 * i) % 12) }))));
    const { out } = await scored('tune.take.jsonl', '--wanted', 'other-tune.jsonl');
    expect(out).not.toContain('--align');
    const { err } = await scored('tune.take.jsonl', '--wanted', 'other-tune.jsonl', '--align');
    expect(err).toContain('The wanted notes fit nowhere, so they were not moved');
  });
});

describe('score, given a Standard MIDI File,', () => {
  /** As a notation program writes it: 480 ticks a crotchet, 108 beats a minute. */
  function midi(): Uint8Array {
    const builder = new MIDIBuilder({ timeDivision: 480, initialTempo: 108, format: 1, name: 'x' });
    builder.addTrack('tune');
    const all = demoTune().flatMap(({ beat, note, beats }) => [
      { tick: Math.round(480 * beat), note, on: true },
      { tick: Math.round(480 * (beat + beats)) - 1, note, on: false },
    ]);
    for (const { tick, note, on } of all.sort((a, b) => a.tick - b.tick)) {
      if (on) builder.noteOn(tick, 1, 0, note, 90);
      else builder.noteOff(tick, 1, 0, note);
    }
    // A metronome, such as these programs like to put in.
    for (let beat = 0; beat < 8; beat++) builder.noteOn(480 * beat, 1, 9, 76, 90);
    builder.flush();
    return new Uint8Array(builder.writeMIDI());
  }

  it('finds every note of the tune, packed too, as its lines do', async () => {
    put('tune.mid', midi());
    const wanted = ['--wanted', 'tune.mid', '--align'];
    const { code, out, err } = await scored('tune.take.jsonl', ...wanted);
    expect(code).toBe(0);
    expect(out).toMatch(/^36 notes wanted, 36 played, 36 right/);
    expect(err).toContain('8 notes of channel 10, which is percussion, were left out (tune.mid)');
    put('packed', gzipSync(midi()));
    const packed = await json('tune.take.jsonl', '--wanted', 'packed', '--align');
    expect(packed).toMatchObject({ f: 1, wanted: 36 });
  });

  it('names the place where it is damaged', async () => {
    const whole = midi();
    put('torn.mid', whole.subarray(0, whole.length - 20));
    const { code, out, err } = await scored('tune.take.jsonl', '--wanted', 'torn.mid');
    expect([code, out]).toEqual([1, '']);
    expect(err).toMatch(
      /^error: torn\.mid: track \d breaks off: it goes from byte \d+ to \d+, and the file ends at \d+\.\n$/,
    );
  });
});

describe('score, given something wrong,', () => {
  it('says that nothing was played where the file is empty', async () => {
    put('empty.jsonl', '');
    const { code, err } = await scored('empty.jsonl');
    expect({ code, err }).toEqual({
      code: 0,
      err: 'warning: the file is empty: nothing was played (empty.jsonl).\n',
    });
  });

  it('tells of bad lines in the wanted notes, counts them, and goes on', async () => {
    put('torn.jsonl', `${lines(TUNE.slice(0, 2))}{"t":5,"type":"on","note":"A1"}\n{"t":9,"ty`);
    const { code, out, err } = await scored('tune.take.jsonl', '--wanted', 'torn.jsonl', '--json');
    expect(code).toBe(0);
    expect(err).toContain('its "note" must be a MIDI note number');
    expect(err).toContain('(torn.jsonl:3)');
    expect(err).toContain('the last line is cut off; it was left out (torn.jsonl:4)');
    const leftOut = { wanted: 2, played: 0 };
    expect(JSON.parse(out)).toMatchObject({ right: 2, wanted: 2, leftOut });
  });

  it('counts the rest where nearly every line is bad', async () => {
    put('many-bad.jsonl', `${ON}${'{"type":"on"}\n'.repeat(300)}`);
    const { code, err } = await scored('many-bad.jsonl');
    expect(code).toBe(0);
    expect(err).toContain('290 more lines were left out');
    expect(err.trim().split('\n').length).toBe(11);
  });

  it.each([
    ['broken.jsonl', 'not notes at all\n', /: no line of it is a note.*line 1: it is not JSON/],
    ['picture.png', PNG, /picture\.png: no line of it is a note/],
    ['take.jsonl', '{"take":1}\n', /this is a take.*pluckwork rerun take\.jsonl --notes/],
  ])('refuses %s as wanted notes, and says what it is', async (name, content, words) => {
    put(name, content);
    const { code, out, err } = await scored('tune.take.jsonl', '--wanted', name);
    expect({ code, out }).toEqual({ code: 1, out: '' });
    expect(err).toMatch(words);
    expect(err.trim().split('\n').length).toBe(1);
  });

  it.each([
    ['missing.jsonl', 'tune.notes.jsonl', /missing\.jsonl: there is no such file/],
    ['tune.take.jsonl', 'missing.jsonl', /missing\.jsonl: there is no such file/],
    ['tune.take.jsonl', '.', /it is a folder/],
    ['neither.txt', 'tune.notes.jsonl', /neither\.txt: this is neither a take.*nor notes/],
    ['old.take.jsonl', 'tune.notes.jsonl', /old\.take\.jsonl: .*"inputs" must be/],
    ['torn.gz', 'tune.notes.jsonl', /torn\.gz: /],
  ])('fails with %s against %s', async (take, wanted, words) => {
    put('neither.txt', 'scribble\n');
    put('old.take.jsonl', '{"take":1}\n');
    put('torn.gz', Uint8Array.of(0x1f, 0x8b, 9, 9, 9));
    const { code, out, err } = await run('score', take, '--wanted', wanted);
    expect({ code, out }).toEqual({ code: 1, out: '' });
    expect(err).toMatch(words);
  });

  it.each([
    [['--wanted', 'tune.notes.jsonl'], /the take, or a notes file, is missing/],
    [['tune.take.jsonl'], /--wanted is missing/],
    [['tune.take.jsonl', '--wanted', 'x', '--window', '50'], /--window takes a time with its unit/],
    [['tune.take.jsonl', '--wanted', 'x', '--window', '1min'], /--window takes at most 1s/],
    [['tune.take.jsonl', '--wantd', 'x'], /did you mean "--wanted"/],
    [['early.jsonl', '--wanted', 'x', '--rules', 'plain'], /early\.jsonl is a notes file/],
  ])('called as %j says what is wrong', async (args, words) => {
    put('early.jsonl', ON);
    put('x', ON);
    const { code, out, err } = await run('score', ...args);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toMatch(words);
    expect(err).toContain('pluckwork score --help');
  });

  it('scores 0, and says why, where no notes were wanted', async () => {
    put('none.jsonl', '');
    const { code, out, err } = await scored('tune.take.jsonl', '--wanted', 'none.jsonl');
    expect(code).toBe(0);
    expect(err).toContain('no notes are wanted');
    expect(out).toMatch(/^0 notes wanted, 36 played, 0 right/);
    expect(out).toMatch(/^ {2}onset delay +- /m);
    expect(out).toContain('and 26 more');
  });

  it('is on the list of commands and has a help page', async () => {
    expect((await run('--help')).out).toContain('  score ');
    const { code, out } = await run('score', '--help');
    expect(code).toBe(0);
    for (const option of [
      'wanted',
      'window',
      'align',
      'json',
      'instrument',
      'build',
      'rules',
      'folder',
    ]) {
      expect(out).toContain(`--${option}`);
    }
  });
});
