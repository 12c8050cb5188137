import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { DEMO_LENGTH, demoTune } from '../../src/demo/demo.js';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { closeSockets, receiver } from './osc-hands.js';
import { performance as performed, ringing } from './performance.js';
import { endPrograms, run, start, workFolder } from './program.js';

interface NoteLine {
  readonly t: number;
  readonly type: string;
  readonly note: number;
  readonly seat?: string;
}

const folder = workFolder();
afterEach(() => {
  endPrograms();
  closeSockets();
});
afterAll(folder.remove);

const file = (name: string): string => readFileSync(join(folder.path, name), 'utf8');
const linesOf = (text: string): NoteLine[] =>
  text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as NoteLine);

const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
const take = (scans: Iterable<Parameters<typeof formatTakeLine>[0]>): string =>
  [header, ...[...scans].map(formatTakeLine)].join('\n');

describe('a room that plays takes', () => {
  it('sounds at the pace and with the notes of the takes, and ends by itself', async () => {
    const synth = await receiver();
    folder.write('takes/one.jsonl', take(performed()));
    folder.write('takes/two.jsonl', `${take(ringing())}\nscratch\n[9`);
    folder.write(
      'rooms/again.yaml',
      `seats:
  - { name: one, instrument: bass-4x4, from: { take: takes/one.jsonl } }
  - { name: "two (loud)", instrument: bass-4x4, from: { take: takes/two.jsonl } }
to:
  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }
`,
    );
    const { code, out, err } = await run(
      ['play', 'again', '--record', 'kept', '--quiet'],
      folder.path,
    );
    expect(code, err).toBe(0);
    expect(out).toBe('');
    expect(err).toContain('it is not JSON; the line was left out (two (loud), take line 178)');
    expect(err).toContain('the last line is cut off; it was left out (two (loud), take line 179)');

    const played = linesOf(file('kept/latest/notes.jsonl'));
    const wanted = linesOf((await run(['rerun', 'takes/one.jsonl'], folder.path)).out);
    const own = played.filter(({ seat }) => seat === 'one');
    const ofType = (all: NoteLine[], wanted: string): number[] =>
      all.filter(({ type }) => type === wanted).map(({ note }) => note);
    // A late timer may turn the notes of a chord round, which begin together.
    for (const type of ['on', 'off']) {
      expect(ofType(own, type).sort()).toEqual(ofType(wanted, type).sort());
    }
    expect(played.filter(({ seat, type }) => seat === 'two (loud)' && type === 'on')).toHaveLength(
      4,
    );
    // What was kept of each seat is the take that was played, and plays to the same notes.
    const bare = (all: NoteLine[]): unknown[] => all.map(({ t, type, note }) => [t, type, note]);
    for (const [seat, kept] of [
      ['one', 'one'],
      ['two (loud)', 'two-loud-'],
    ] as const) {
      const again = await run(['rerun', `kept/latest/${kept}.take.jsonl`], folder.path);
      expect(again.err).toBe('');
      expect(bare(linesOf(again.out))).toEqual(bare(played.filter((line) => line.seat === seat)));
    }
    // At the pace of the take, as a clock outside sees it.
    const begun = synth.heard.filter(({ address }) => address === '/note/on');
    const took = begun.at(-1)!.ms - begun[0]!.ms;
    expect(took).toBeGreaterThan(5_400);
    expect(took).toBeLessThan(6_500);
    expect(synth.heard.at(-1)!.address).toBe('/silence');
  });

  it('keeps seats apart whose names make one file name', async () => {
    folder.write('takes/two.jsonl', take(ringing()));
    const seat = (name: string): string =>
      `  - { name: "${name}", instrument: bass-4x4, from: { take: takes/two.jsonl } }\n`;
    folder.write('rooms/alike.yaml', `seats:\n${seat('a b')}${seat('a/b')}${seat('A-B')}`);
    const { code, err } = await run(['play', 'alike', '--record', 'alike'], folder.path);
    expect(code, err).toBe(0);
    const kept = /Kept: (.*)\.\n/.exec(err)![1]!.split(', ');
    expect(new Set(kept.map((name) => name.toLowerCase())).size).toBe(6);
    for (const name of kept.slice(0, 3)) {
      const again = linesOf((await run(['rerun', name], folder.path)).out);
      expect(again.filter(({ type }) => type === 'on')).toHaveLength(4);
    }
  });
});

describe('messages as JSON lines', () => {
  it('go to standard error, one a line and nothing else, and notes to standard output', async () => {
    folder.write('takes/two.jsonl', `${take(ringing())}\nscratch\n`);
    const seat = '{ name: a, instrument: bass-4x4, from: { take: takes/two.jsonl } }';
    folder.write('rooms/json.yaml', `seats:\n  - ${seat}\n`);
    const { code, out, err } = await run(['play', 'json', '--log', 'json'], folder.path);
    expect(code, err).toBe(0);
    expect(out.trimEnd().split('\n')).toHaveLength(4);
    const told = err
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { level: number; msg: string; where?: string });
    expect(told.every(({ level, msg }) => [30, 40].includes(level) && msg !== '')).toBe(true);
    expect(told.some(({ where }) => where === 'a, take line 178')).toBe(true);
  });
});

describe('the demo', () => {
  it('plays its tune with no device at all, ends by itself, and keeps a take and a WAV', async () => {
    const begun = performance.now();
    const program = start(['play', 'demo', '--record', 'demo'], folder.path);
    const { code, out, err } = await program.ended;
    expect(code, err).toBe(0);
    const took = performance.now() - begun;
    expect(took).toBeGreaterThan(DEMO_LENGTH / 1_000);
    const tune = demoTune().map(({ note }) => note);
    expect(out.trimEnd().split('\n')).toHaveLength(tune.length);
    const notes = file('demo/latest/notes.jsonl');
    expect(
      linesOf(notes)
        .filter(({ type }) => type === 'on')
        .map(({ note }) => note),
    ).toEqual(tune);
    const again = await run(['rerun', 'demo/latest/demo.take.jsonl'], folder.path);
    expect(again.out).toBe(notes);
    const wav = readFileSync(join(folder.path, 'demo/latest/room.wav'));
    expect(wav.length / 4 / 48_000).toBeGreaterThan(19);
    // Something is to be heard in it: 16-bit samples far from 0.
    let peak = 0;
    for (let at = 44; at < wav.length; at += 2)
      peak = Math.max(peak, Math.abs(wav.readInt16LE(at)));
    expect(peak).toBeGreaterThan(3_000);
  }, 60_000);
});
