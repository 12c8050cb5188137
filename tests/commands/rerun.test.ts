import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { parseMidi } from 'midi-file';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { busyTake } from '../support/busy-take.js';
import { endPrograms, run, start, workFolder } from './program.js';

const folder = workFolder();
const pluckwork = (...args: string[]) => run(args, folder.path);
const bytes = (name: string): Buffer => readFileSync(join(folder.path, name));
let busy: string;
/** The notes of `short.take.jsonl`, by standard output. */
let notes: string;

beforeAll(async () => {
  busy = busyTake(12);
  folder.write('short.take.jsonl', busy);
  notes = (await pluckwork('rerun', 'short.take.jsonl')).out;
});
afterEach(endPrograms);
afterAll(folder.remove);

describe('a take run twice', () => {
  it('gives identical notes, MIDI file and WAV: three minutes of 20 pads at 250 scans a second', async () => {
    folder.write('long.take.jsonl', busyTake(180));
    const runs = [];
    for (const n of ['1', '2']) {
      const files = ['--notes', `${n}.jsonl`, '--midi', `${n}.mid`, '--wav', `${n}.wav`];
      runs.push(await pluckwork('rerun', 'long.take.jsonl', ...files));
    }
    expect(runs.map(({ code, out }) => [code, out])).toEqual([
      [0, ''],
      [0, ''],
    ]);
    expect(bytes('2.jsonl').equals(bytes('1.jsonl'))).toBe(true);
    expect(bytes('2.mid').equals(bytes('1.mid'))).toBe(true);
    expect(bytes('2.wav').equals(bytes('1.wav'))).toBe(true);

    // 5 plucks a second from 1 s to 179 s.
    const ons = bytes('1.jsonl')
      .toString()
      .trimEnd()
      .split('\n')
      .filter((line) => line.includes('"on"'));
    expect(ons).toHaveLength(890);
    const events = parseMidi(bytes('1.mid')).tracks.flat();
    expect(events.filter(({ type }) => type === 'noteOn')).toHaveLength(890);
    // 48 kHz, two channels of 16 bits: four bytes a frame.
    expect(bytes('1.wav').length / 4 / 48_000).toBeGreaterThan(178);
    expect(runs[0]!.err).toMatch(
      /^890 notes from 9000\d\d readings in 180\.0 s of playing, run in/,
    );
    expect(runs[0]!.err).toMatch(
      /\nLoudness -\d\d\.\d LUFS, highest true peak -\d+\.\d dBTP, .* \(1\.wav\)\.\n$/,
    );
  }, 120_000);

  it('is never written over', async () => {
    for (const option of ['--notes', '--midi', '--wav']) {
      const { code, err } = await pluckwork(
        'rerun',
        'short.take.jsonl',
        option,
        './short.take.jsonl',
      );
      expect(code).toBe(2);
      expect(err).toContain(
        './short.take.jsonl is the take itself: choose another file to write to',
      );
    }
    expect(bytes('short.take.jsonl').toString()).toBe(busy);
  });

  it('gives the same notes to a file, to standard output, and without any option', async () => {
    await pluckwork('rerun', 'short.take.jsonl', '--notes', 'deep/er/short.jsonl');
    expect(bytes('deep/er/short.jsonl').toString()).toBe(notes);
    const dash = await pluckwork('rerun', 'short.take.jsonl', '--notes', '-');
    expect([dash.out, dash.err]).toEqual([notes, '']);
    expect(notes.split('\n').length).toBeGreaterThan(90);
  });

  it('makes the folders of what it writes', async () => {
    const files = ['--midi', 'new/a/x.mid', '--wav', 'new/b/x.wav'];
    const { code, err } = await pluckwork('rerun', 'short.take.jsonl', ...files);
    expect(code, err).toBe(0);
    expect(parseMidi(bytes('new/a/x.mid')).tracks.length).toBeGreaterThan(0);
    expect(bytes('new/b/x.wav').subarray(0, 4).toString()).toBe('RIFF');
  });

  it('differs by its rules: with a first reading for the strength, notes begin earlier', async () => {
    const { out } = await pluckwork('rerun', 'short.take.jsonl', '--rules', 'instant');
    const first = (text: string): number => (JSON.parse(text.split('\n')[0]!) as { t: number }).t;
    expect(first(out)).toBeLessThan(first(notes));
  });
});

describe('takes that are not whole', () => {
  it('says which pads of another instrument no input reaches, and which inputs play nothing', async () => {
    const bare = '{"take":1,"inputs":20,"full":16383,"instrument":"bass-4x4"}\n[0,0,900]\n';
    folder.write('bare.take.jsonl', bare);
    const by = async (instrument: string): Promise<string> =>
      (await pluckwork('rerun', 'bare.take.jsonl', '--instrument', instrument)).err;
    expect(await by('ukulele-4x6')).toMatch(
      /^warning: The take has 20 inputs, and .* has 28 pads \(bare\.take\.jsonl\)\. Pads 20 to 27, counted from 0, stay silent\.\n/,
    );
    expect(await by('keys-13')).toMatch(
      /has 13 pads .*\. Inputs 13 to 19, counted from 0, play nothing\.\n/,
    );
    expect(await by('bass-4x4')).not.toContain('warning');
  });

  it('reads a gzipped take by its content, whatever its name', async () => {
    folder.write('packed', gzipSync(busy));
    const { code, out } = await pluckwork('rerun', 'packed');
    expect([code, out]).toEqual([0, notes]);
  });

  it('plays a gzip that was cut off as far as it goes, and says so', async () => {
    folder.write('cut.gz', gzipSync(busy).subarray(0, 60_000));
    const { code, out, err } = await pluckwork('rerun', 'cut.gz');
    expect(code).toBe(0);
    expect(out.length).toBeGreaterThan(500);
    expect(err).toMatch(/^warning: the last line is cut off; it was left out \(cut\.gz:\d+\)\.\n$/);
    // All but what the cut itself ended is as in the whole take.
    const played = out.trimEnd().split('\n').slice(0, -4);
    expect(notes.startsWith(played.join('\n'))).toBe(true);
  });

  it('plays a gzip that is damaged up to there, names it, and says what to do', async () => {
    const damaged = gzipSync(busy);
    damaged.fill(0xff, 40_000, 40_020);
    folder.write('damaged.gz', damaged);
    const { code, out, err } = await pluckwork('rerun', 'damaged.gz');
    expect(code).toBe(1);
    const played = out.trimEnd().split('\n').slice(0, -4);
    expect(notes.startsWith(played.join('\n'))).toBe(true);
    // What stands before the damage is noticed may be nonsense: it is left out by the line.
    expect(err).toMatch(
      /^(warning: .+ was left out \(damaged\.gz:\d+\)\.\n)*error: damaged\.gz: its gzip is damaged \(.+\); use another copy of it\.\n$/,
    );
  });

  it('leaves out each damaged line and names it', async () => {
    const lines = [
      '{"take":1,"inputs":20,"full":16383,"instrument":"bass-4x4"}',
      '[1,0,99999]',
      '[5,0,1]',
      '[2,0,3]',
      'stray words',
      '{"t":9,"event":"oops"}',
      '[10,25,1]',
      '[11,3]',
      '[12,4',
    ];
    folder.write('damaged.jsonl', lines.join('\n'));
    const { code, out, err } = await pluckwork('rerun', 'damaged.jsonl');
    expect([code, out]).toEqual([0, '']);
    expect(err.split('\n')).toEqual([
      'warning: raw value 99999 of input 0 is not a whole number from 0 to 16383; the line was left out (damaged.jsonl:2).',
      'warning: its time 2 is before the line above it; the line was left out (damaged.jsonl:4).',
      'warning: it is not JSON; the line was left out (damaged.jsonl:5).',
      'warning: it is neither a scan nor an event; the line was left out (damaged.jsonl:6).',
      'warning: input 25 is not one of the 20 inputs (0 to 19); the line was left out (damaged.jsonl:7).',
      'warning: an input has no raw value; the line was left out (damaged.jsonl:8).',
      'warning: the last line is cut off; it was left out (damaged.jsonl:9).',
      '',
    ]);
  });
});

describe('what is missing ends with 1 and is named', () => {
  const header = '{"take":1,"inputs":20,"full":16383';
  const missing = async (err: RegExp, ...args: string[]): Promise<void> => {
    const ended = await pluckwork('rerun', ...args);
    expect([ended.code, ended.out]).toEqual([1, '']);
    expect(ended.err).toMatch(err);
  };

  it('the take', async () => {
    await missing(/^error: none\.jsonl: there is no such file\.\n$/, 'none.jsonl');
    await missing(/^error: \.: it is a folder\.\n$/, '.');
    folder.write('letter.txt', 'Dear all,\n');
    await missing(
      /^error: letter\.txt: the first line is not JSON; a take starts with \{"take":1,"inputs":20,"full":16383\}\.\n$/,
      'letter.txt',
    );
    folder.write('newer.jsonl', '{"take":2,"inputs":20,"full":16383}\n');
    await missing(
      /^error: newer\.jsonl: the take's version is 2; this program reads version 1\.\n$/,
      'newer.jsonl',
    );
  });

  it('the instrument', async () => {
    await missing(
      /^error: harp: found no such file, allowed: an instrument in instruments or .*\n {4}Put a file harp\.yaml into instruments, or use one of these: .*bass-4x4/,
      ...['short.take.jsonl', '--instrument', 'harp'],
    );
    folder.write('bare.jsonl', `${header}}\n`);
    await missing(
      /^error: bare\.jsonl: the take does not say which instrument was played; name it with --instrument\.\n$/,
      'bare.jsonl',
    );
  });

  it('the rules', async () => {
    await missing(
      /^error: palin: found no such file, allowed: rules in rules or .*\n {4}Did you mean "plain"\?\n$/,
      ...['short.take.jsonl', '--rules', 'palin'],
    );
    folder.write('old.jsonl', `${header},"instrument":"bass-4x4","rules":"gone"}\n`);
    await missing(
      /^error: old\.jsonl: the rules "gone" that the take was played by are not there; name others with --rules\.\n$/,
      'old.jsonl',
    );
    folder.write('rules/gone.yaml', 'touch:\n  on: 7\n');
    await missing(/^error: rules\/gone\.yaml:2:7: touch\.on: found 7, allowed: /, 'old.jsonl');
  });

  it('the build', async () => {
    await missing(
      /^error: west: found no such file, allowed: a build in builds or .*\n {4}Calibrate the unit, which writes this file\.\n$/,
      ...['short.take.jsonl', '--build', 'west'],
    );
  });

  it('the place to write to', async () => {
    await missing(/^error: \.: it is a folder\.\n$/, 'short.take.jsonl', '--midi', '.');
    await missing(/^error: \.: it is a folder\.\n$/, 'short.take.jsonl', '--notes', '.');
    for (const option of ['--notes', '--midi', '--wav']) {
      await missing(
        /^error: letter\.txt\/x: a file is where a folder must be\.\n$/,
        ...['short.take.jsonl', option, 'letter.txt/x'],
      );
    }
  });
});

describe('pipes', () => {
  it('is quiet where the reader of its notes has enough', async () => {
    const program = start(['rerun', 'short.take.jsonl'], folder.path);
    program.deaf('out');
    expect(await program.ended).toMatchObject({ code: 0, err: '' });
  });

  it('does its work where nobody reads what it says', async () => {
    const args = ['rerun', 'short.take.jsonl', '--midi', 'unread.mid'];
    for (const more of [[], ['--log', 'json']]) {
      const program = start([...args, ...more], folder.path);
      program.deaf('err');
      expect(await program.ended).toMatchObject({ code: 0, out: '' });
      expect(bytes('unread.mid').length).toBeGreaterThan(100);
    }
  });

  it('writes messages as JSON lines to standard error alone with --log json', async () => {
    const { out, err } = await pluckwork('rerun', 'cut.gz', '--notes', '-', '--log', 'json');
    expect(
      out
        .trimEnd()
        .split('\n')
        .every((line) => line.startsWith('{"t":')),
    ).toBe(true);
    const told = err.trimEnd().split('\n');
    expect(told.map((line) => JSON.parse(line) as unknown)).toMatchObject([
      { level: 40, where: expect.stringMatching(/^cut\.gz:\d+$/) as unknown },
    ]);
    const failed = await pluckwork('rerun', 'none.jsonl', '--log', 'json');
    expect([failed.code, JSON.parse(failed.err)]).toMatchObject([
      1,
      { level: 50, msg: 'none.jsonl: there is no such file' },
    ]);
  });
});
