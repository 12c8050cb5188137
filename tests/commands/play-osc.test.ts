import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hzOf } from '../alsa/pitches.js';
import { freePort } from '../engines/csound-process.js';
import { board, closeSockets, receiver, type Heard } from './osc-hands.js';
import { performance } from './performance.js';
import { endPrograms, run, start, workFolder, type Ended } from './program.js';

interface NoteLine {
  readonly t: number;
  readonly type: 'on' | 'off';
  readonly note: number;
  readonly velocity: number;
  readonly voice: number;
}

const folder = workFolder();
let ended: Ended;
let heard: readonly Heard[];
let text: string;
let lines: NoteLine[];

/* A board's packets at a board's pace, real sockets, the real clock, recorded as it is played. */
beforeAll(async () => {
  const synth = await receiver();
  const port = await freePort();
  folder.write(
    'rooms/hall.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(port)} }, steady: false }
to:
  - osc: { host: 127.0.0.1, port: ${String(synth.port)} }
`,
  );
  const program = start(['play', 'hall', '--record', 'kept'], folder.path);
  await program.saw(/Listening for boards/);
  await (await board(port)).play('north', performance());
  // The last of its notes, an open E1 that still rings.
  await synth.heardThat((all) => all.filter(({ address }) => address === '/note/on').length === 16);
  program.signal('SIGINT');
  ended = await program.ended;
  heard = synth.heard;
  text = readFileSync(join(folder.path, 'kept/latest/notes.jsonl'), 'utf8');
  lines = text
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as NoteLine);
}, 60_000);
afterAll(() => {
  endPrograms();
  closeSockets();
  folder.remove();
});

const ons = (): NoteLine[] => lines.filter(({ type }) => type === 'on');

describe('a room played over OSC from end to end', () => {
  it('sounds the notes that the fingers asked for, in their order', () => {
    expect(ended.code, ended.err).toBe(0);
    const chord = ons().slice(2, 6);
    // E1 open; B1; a chord at the third frets; D2 open; B2 six times; A#1; C#2; E1 open.
    expect(chord.map(({ note }) => note).sort()).toEqual([31, 36, 41, 46]);
    const others = ons().filter((_, i) => i < 2 || i > 5);
    expect(others.map(({ note }) => note)).toEqual([
      28, 35, 38, 47, 47, 47, 47, 47, 47, 34, 37, 28,
    ]);
  });

  it('and the take of it, run again, gives them byte for byte', async () => {
    const again = await run(['rerun', 'kept/latest/north.take.jsonl'], folder.path);
    expect([again.code, again.err]).toEqual([0, '']);
    expect(again.out).toBe(text);
  });

  it('and the receiver hears them, as node-osc and osc-min read them', () => {
    const notes = heard.filter(({ address }) => address.startsWith('/note/'));
    expect(notes.map(({ address, args }) => [address, args[0]])).toEqual(
      lines.map(({ type, voice }) => [`/note/${type}`, voice]),
    );
    const begun = notes.filter(({ address }) => address === '/note/on');
    for (const [i, { types, args }] of begun.entries()) {
      const [, note, frequency, strength] = args as number[];
      expect(types).toEqual(['integer', 'integer', 'float', 'float']);
      expect(note).toBe(ons()[i]!.note);
      expect(frequency).toBeCloseTo(hzOf(note!), 4);
      expect(strength).toBeGreaterThanOrEqual(0);
      expect(strength).toBeLessThanOrEqual(1);
    }
  });

  it('and gives each a velocity that grows with its strength', () => {
    const begun = heard.filter(({ address }) => address === '/note/on');
    const pairs = ons().map(({ velocity }, i) => ({
      velocity,
      strength: begun[i]!.args[3] as number,
    }));
    pairs.sort((a, b) => a.strength - b.strength);
    const velocities = pairs.map(({ velocity }) => velocity);
    expect(velocities).toEqual([...velocities].sort((a, b) => a - b));
    expect(new Set(velocities).size).toBeGreaterThan(2);
  });

  it('lets an open string ring for as long as the rules say, to the microsecond', () => {
    const ring = ons().find(({ note }) => note === 38)!;
    const end = lines.find(({ type, voice }) => type === 'off' && voice === ring.voice)!;
    expect(end.t - ring.t).toBe(4_000_000);
  });

  it('ends every note once, the last one by the interrupt, and then all', () => {
    const offs = lines.filter(({ type }) => type === 'off').map(({ voice }) => voice);
    expect([...offs].sort((a, b) => a - b)).toEqual(ons().map(({ voice }) => voice));
    const last = heard.findIndex(({ address }) => address === '/silence');
    expect(heard[last - 1]).toMatchObject({ address: '/note/off', args: [16] });
    expect(heard.slice(last).every(({ address }) => address === '/silence')).toBe(true);
  });

  it('prints a line a note, and keeps what it says it keeps', () => {
    const printed = ended.out.trimEnd().split('\n');
    expect(printed).toHaveLength(16);
    expect(printed[0]).toMatch(/^ +\d+\.\d{3} s {2}north {2}E1 {3}open string, velocity \d+$/);
    expect(printed[1]).toMatch(/ s {2}north {2}B1 {3}fret 2 of A1, velocity \d+$/);
    expect(ended.err).toMatch(
      /Kept: (kept\/\d{4}-\d\d-\d\dT\d{4})\/north\.take\.jsonl, \1\/room\.take\.jsonl, \1\/notes\.jsonl, \1\/room\.wav\.\n$/,
    );
    const wav = readFileSync(join(folder.path, 'kept/latest/room.wav'));
    expect(wav.subarray(0, 4).toString()).toBe('RIFF');
    expect(wav.length / 4 / 48_000).toBeGreaterThan(6);
  });
});
