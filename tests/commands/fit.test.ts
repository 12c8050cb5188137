import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { prompt } from '../../src/commands/fit/exercise.js';
import type { FitJson } from '../../src/commands/fit/json.js';
import type { ScoreJson } from '../../src/commands/score/score.js';
import { parseRules, PLAIN } from '../../src/instrument/rules.js';
import { demoReadings, demoTune } from '../../src/demo/demo.js';
import { exerciseFor, wantedOf } from '../../src/fit/exercise.js';
import { readingsOf } from '../../src/demo/gestures.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { plucked, UNIT } from './performance.js';
import { run as runIn, workFolder, type Ended } from './program.js';

const folder = workFolder();
const put = (name: string, content: string): string => folder.write(name, content);
const run = (...args: string[]): Promise<Ended> => runIn(args, folder.path);
const read = (name: string): string => readFileSync(join(folder.path, name), 'utf8');

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

function take(scans: Iterable<Scan>, header: object = {}): string {
  const head = { take: 1 as const, inputs: 20, full: 16_383, instrument: 'bass-4x4', ...header };
  return [formatHeader(head), ...Array.from(scans, formatTakeLine), ''].join('\n');
}

/** Takes 1 to 3 with the tune's notes, and the start, as options. */
const THREE = ['1', '2', '3'].flatMap((n) => [`${n}.take.jsonl`, '--wanted', `${n}.notes.jsonl`]);
const FROM = ['--from', './bad.yaml', '--keys', 'touch.on,touch.lift,strings.stop'];

async function fitted(...args: string[]): Promise<FitJson> {
  const { code, out, err } = await run('fit', ...args, '--json');
  expect({ code, err }).toEqual({ code: 0, err: '' });
  return JSON.parse(out) as FitJson;
}

async function scored(name: string, rules: string): Promise<ScoreJson> {
  const wanted = ['--wanted', `${name}.notes.jsonl`];
  const { out } = await run('score', `${name}.take.jsonl`, ...wanted, '--rules', rules, '--json');
  return JSON.parse(out) as ScoreJson;
}

beforeAll(() => {
  for (const seed of [1, 2, 3, 4]) {
    put(`${String(seed)}.take.jsonl`, take(demoReadings(BASS, 20, seed)));
    put(`${String(seed)}.notes.jsonl`, lines(TUNE));
  }
  put('bad.yaml', 'touch:\n  on: 0.85\n  off: 0.5\n  lift: 800ms\n');
});

afterAll(() => {
  folder.remove();
});

describe('fit', () => {
  it('fixes bad rules, by the score of takes that it saw, left out, and never had', async () => {
    const { all, blocks, changes, finished, ...rest } = await fitted(
      ...THREE,
      ...FROM,
      '--out',
      'mine',
    );
    expect(finished).toBe(true);
    expect(all.start.f).toBeLessThan(0.9);
    expect(all.leftOut.f).toBe(1);
    expect(all.result.f).toBe(1);
    expect(blocks.map(({ name }) => name)).toEqual(['1', '2', '3'].map((n) => `${n}.take.jsonl`));
    expect(changes.map(({ key }) => key)).toContain('touch.on');
    expect(changes.map(({ key }) => key)).not.toContain('strings.stop');
    for (const { heldOut } of changes) expect(heldOut.f).toBe(1);

    const rules = parseRules(read('rules/mine.yaml'), 'mine.yaml');
    expect(rules).toMatchObject({ name: 'mine', strings: PLAIN.strings });
    expect(rest.rules).toMatchObject({ touch: { on: rules.touch.on } });
    // By the independent command: what was seen is what is told, and the fourth take was never seen.
    for (const [i, name] of ['1', '2', '3'].entries()) {
      expect((await scored(name, 'mine')).f).toBe(blocks[i]!.result.f);
      expect((await scored(name, './bad.yaml')).f).toBeCloseTo(blocks[i]!.start.f, 12);
    }
    expect((await scored('4', 'mine')).f).toBe(1);
    expect((await scored('4', './bad.yaml')).f).toBeLessThan(0.9);
  });

  it('tells what it changed, and why, in words', async () => {
    const { code, out } = await run('fit', ...THREE, ...FROM);
    expect(code).toBe(0);
    expect(out).toMatch(/^3 takes, from the rules bad\./);
    expect(out).toMatch(/^ {2}1\.take\.jsonl +36 +0\.\d{3} +1\.000 +1\.000$/m);
    expect(out).toMatch(/^ {2}all +108 +0\.\d{3} +1\.000 +1\.000$/m);
    const why = out.replace(/\n {4}/g, ' ');
    expect(why).toMatch(
      /touch\.on 0\.85 → 0\.2: .*\d+ notes are heard that would be missed.*F left out 0\.\d{3} without it, 1\.000/,
    );
    expect(out).toContain(
      'As a rules file, which --out NAME keeps:\n\n# Fitted to 3 takes from bad',
    );
    const yaml = out.slice(out.indexOf('# Fitted'));
    expect(parseRules(yaml, 'fitted.yaml').touch.on).toBe(0.2);
  });

  it('leaves good rules as they are, and says so', async () => {
    const { code, out } = await run(
      'fit',
      ...THREE,
      '--keys',
      'touch.on,strings.brush',
      '--out',
      './same.yaml',
    );
    expect(code).toBe(0);
    expect(out).toContain('Nothing that was tried does better');
    expect(out).toContain('the result is plain');
    expect(parseRules(read('same.yaml'), 'same.yaml')).toEqual({ ...PLAIN, name: 'same' });
  });

  it('cuts a single take at its silences', async () => {
    const { blocks, all } = await fitted(...THREE.slice(0, 3), ...FROM);
    expect(blocks.length).toBe(4);
    expect(blocks.map(({ start }) => start.wanted).reduce((a, b) => a + b)).toBe(36);
    expect(blocks[1]!.from).toBe(blocks[0]!.to);
    expect(all.leftOut.f).toBeGreaterThan(all.start.f);
  });

  it('finds where the notes begin, if asked to', async () => {
    put('late.notes.jsonl', lines(TUNE.map((one) => ({ ...one, t: one.t + 2_500_000 }))));
    const args = ['1.take.jsonl', '--wanted', 'late.notes.jsonl', ...FROM];
    const { takes, all, window } = await fitted(...args, '--align');
    expect(takes[0]!.shift! / 1_000_000).toBeCloseTo(-2.5, 1);
    expect(window).toBe(150_000);
    expect(all.result.f).toBe(1);
  });
});

describe('fit, given something wrong,', () => {
  it('never replaces a file unless told to, and then all of it', async () => {
    put('rules/kept.yaml', 'name: kept\n');
    const args = [...THREE, '--keys', 'strings.stop', '--out', 'kept'];
    const refused = await run('fit', ...args);
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch(/rules\/kept\.yaml: there is such a file already.*--force/);
    expect(read('rules/kept.yaml')).toBe('name: kept\n');
    expect((await run('fit', ...args, '--force')).code).toBe(0);
    expect(read('rules/kept.yaml')).toMatch(/^# As plain: nothing did better on 3 takes/);
  });

  it('says rules that cannot be kept, and looks for a folder in their place before it searches', async () => {
    const args = [...THREE, '--keys', 'strings.stop', '--out'];
    put('a-file', '');
    const unkept = await run('fit', ...args, 'a-file/kept.yaml');
    expect(unkept.code).toBe(1);
    expect(unkept.err).toMatch(/^error: a-file\/kept\.yaml: /);
    expect(unkept.out).toMatch(/\n# As plain: nothing did better on 3 takes/);
    expect(unkept.out).not.toContain('Kept as');
    put('rules/full.yaml/x', '');
    for (const more of [[], ['--force']]) {
      const folder = await run('fit', ...args, 'full', ...more);
      expect([folder.code, folder.out]).toEqual([2, '']);
      expect(folder.err).toContain('rules/full.yaml: it is a folder; choose another name');
    }
  });

  it.each<[string[], RegExp, number?]>([
    [[], /the take is missing/],
    [['1.take.jsonl'], /every take needs its own wanted notes: 1 take, .* 0 times/],
    [[...THREE.slice(0, 3), '2.take.jsonl'], /2 takes, but --wanted was given once/],
    [[...THREE.slice(0, 3), ...THREE.slice(0, 3)], /1\.take\.jsonl was given twice/],
    [
      [...THREE, '--keys', 'touch.onn'],
      /"touch\.onn" cannot be searched here; there are touch\.on, /,
    ],
    [[...THREE, '--keys', 'strings.ring'], /"strings\.ring" cannot be searched/],
    [[...THREE, '--seconds', 'ten'], /--seconds takes a number from 1 to 3600/],
    [[...THREE, '--window', '2s'], /--window takes at most 1s/],
    [[...THREE, '--force'], /--force replaces the file that --out names/],
    [
      ['other.take.jsonl', '--wanted', '1.notes.jsonl', ...THREE],
      /played by different rules.*--from/,
    ],
    [['drums.take.jsonl', '--wanted', '1.notes.jsonl', ...THREE], /different kinds of instruments/],
    [['1.take.jsonl', '--wanted', 'few.notes.jsonl'], /only 2 notes wanted in all/, 1],
    [['1.take.jsonl', '--wanted', 'none.jsonl'], /there is no such file/, 1],
    [['1.take.jsonl', '--wanted', 'busy.notes.jsonl'], /cannot be cut in two at a silence/, 1],
    [
      ['1.take.jsonl', '--wanted', 'busy.notes.jsonl', '--align'],
      /are they those of this take\?/,
      1,
    ],
    [['made.take.jsonl', '--wanted', '1.notes.jsonl'], /made on another computer/, 1],
    [[...THREE, '--from', 'arpeggio'], /have logic of their own/, 1],
  ])('called as %j says what is wrong', async (args, words, exit = 2) => {
    const legato = { rules: 'legato' };
    put('other.take.jsonl', take(demoReadings(BASS, 20, 9), legato));
    put(
      'drums.take.jsonl',
      `${formatHeader({ take: 1, inputs: 6, full: 16_383, instrument: 'drums-6' })}\n[0]\n`,
    );
    put('made.take.jsonl', take([], { made: true }));
    put('few.notes.jsonl', lines(TUNE.slice(0, 2)));
    put(
      'busy.notes.jsonl',
      lines(Array.from({ length: 99 }, (_, i) => ({ t: 90_000 * i, type: 'on', note: 90 }))),
    );
    const { code, out, err } = await run('fit', ...args);
    expect({ code, out }).toEqual({ code: exit, out: '' });
    expect(err).toMatch(words);
  });

  it('is on the list of commands and has a help page', async () => {
    const { out } = await run('--help');
    for (const name of ['fit', 'exercise']) expect(out).toContain(`  ${name} `);
    const page = (await run('fit', '--help')).out;
    for (const option of ['wanted', 'from', 'out', 'force', 'keys', 'seconds', 'align']) {
      expect(page).toContain(`--${option}`);
    }
  });
});

describe('exercise', () => {
  const steps = exerciseFor(BASS);

  /** Somebody who begins 1.7 s late and is up to 25 ms off the beat. */
  function performed(tempo: number): string {
    const gestures = wantedOf(steps, tempo).flatMap(
      ({ onset, offset, note, string, strength }, i) => {
        const at = onset / 1000 + 1_700 + ((37 * i) % 51) - 25;
        const until = at + (offset! - onset) / 1000;
        return plucked(string!, note - BASS.strings[string!]!.open, at, until, strength!);
      },
    );
    return take(readingsOf(gestures, UNIT, 1_000_000 * 66, 11));
  }

  it('writes notes, and writes them again in the time of a take that somebody played', async () => {
    const args = ['exercise', 'bass-4x4', '--tempo', '80'];
    const { code, out } = await run(...args, '--out', 'bass.notes.jsonl');
    expect(code).toBe(0);
    expect(out).toMatch(/^80 beats a minute, 4 counted first; \d+ notes/);
    expect(out).toContain('E1 open, soft');
    put('bass.take.jsonl', performed(80));
    const before = await scored('bass', 'plain');
    expect(before.f).toBeLessThan(0.5);
    const again = await run(
      ...args,
      '--take',
      'bass.take.jsonl',
      '--out',
      'bass.notes.jsonl',
      '--force',
    );
    expect(again.out).toMatch(/the first note is wanted at 4\.7\d\d s/);
    const after = await scored('bass', 'plain');
    expect(after.f).toBeGreaterThan(0.97);
  });

  it.each<[string[], RegExp]>([
    [[], /the instrument is missing/],
    [['bass-4x4', '--tempo', '5'], /--tempo takes beats a minute, from 20 to 240/],
    [['bass-4x4', '--take', 'x'], /--take is for the notes that --out names/],
    [['bass-4x4', '--seat', 'x'], /--seat is for the take/],
    [['bass-4x4', '--out', '1.notes.jsonl'], /there is such a file already/],
  ])('called as %j says what is wrong', async (args, words) => {
    const { code, err } = await run('exercise', ...args);
    expect(code).toBe(2);
    expect(err).toMatch(words);
  });

  afterEach(() => vi.useRealTimers());

  it('tells each step in its time', async () => {
    vi.useFakeTimers({ toFake: ['setTimeout', 'performance'] });
    const said: [ms: number, line: string][] = [];
    const began = performance.now();
    const say = (line: string): void => {
      said.push([Math.round(performance.now() - began), line.trim()]);
    };
    const all = prompt(
      { values: {}, words: [], say, tell: () => undefined, watched: false },
      steps,
      120,
    );
    await vi.advanceTimersByTimeAsync(120_000);
    await all;
    expect(said.slice(0, 6)).toEqual([
      [0, '1'],
      [500, '2'],
      [1_000, '3'],
      [1_500, '4'],
      [2_000, '1.0  E1 open, soft'],
      [2_500, '2.0  E1 fret 1, soft'],
    ]);
    expect(said).toHaveLength(4 + steps.length);
    expect(said.at(-1)![0]).toBe(2_000 + 500 * steps.at(-1)!.beat);
  });
});
