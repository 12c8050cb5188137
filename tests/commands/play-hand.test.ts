import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { formatHeader, formatTakeLine } from '../../src/takes/take.js';
import { freePort } from '../engines/csound-process.js';
import { closeSockets, receiver, type Heard } from './osc-hands.js';
import { performance, ringing } from './performance.js';
import { endPrograms, run, start, workFolder, type Ended } from './program.js';

const folder = workFolder();
let far: Ended;
let near: Ended;
let heard: readonly Heard[];

const header = formatHeader({ take: 1, inputs: 20, full: 16_383, instrument: 'bass-4x4' });
const take = (scans: Iterable<Parameters<typeof formatTakeLine>[0]>): string =>
  [header, ...[...scans].map(formatTakeLine), ''].join('\n');
const file = (name: string): string => readFileSync(join(folder.path, name), 'utf8');

/* Two programs, as on two computers: one has the units, the other the speaker. */
beforeAll(async () => {
  const [pads, notes] = [await freePort(), await freePort()];
  const synth = await receiver();
  folder.write('takes/north.jsonl', take(performance()));
  folder.write('takes/south.jsonl', take(ringing()));
  const at = (port: number, more = ''): string =>
    `  - osc: { host: 127.0.0.1, port: ${String(port)}${more} }\n`;
  folder.write(
    'rooms/units.yaml',
    `seats:
  - { name: north, instrument: bass-4x4, from: { take: takes/north.jsonl } }
  - { name: south, instrument: bass-4x4, from: { take: takes/south.jsonl } }
to:
${at(pads, ', hand: pads')}${at(notes, ', hand: notes')}${at(synth.port)}`,
  );
  folder.write(
    'rooms/speaker.yaml',
    `scale: major
seats:
  - { name: north, instrument: bass-4x4, from: { osc: ${String(pads)} }, steady: false }
  - { name: south, instrument: bass-4x4, from: { osc: ${String(notes)}, hand: notes, delay: 30ms } }
to:
${at(synth.port, ', messages: { on: "/near seat:s note:i", off: "/end voice:i", silence: /hush }')}`,
  );
  const speaker = start(['play', 'speaker', '--record', 'near'], folder.path);
  await speaker.saw(new RegExp(`UDP port ${String(pads)}`));
  await speaker.saw(/Playing/);
  far = await start(['play', 'units', '--record', 'far'], folder.path).ended;
  await speaker.saw(/Seat south is no longer handed on by 127\.0\.0\.1/);
  speaker.signal('SIGINT');
  near = await speaker.ended;
  heard = synth.heard;
}, 60_000);
afterAll(() => {
  endPrograms();
  closeSockets();
  folder.remove();
});

interface Line {
  readonly t: number;
  readonly type: string;
  readonly note: number;
  readonly velocity: number;
  readonly voice: number;
  readonly seat: string;
}

const linesOf = (name: string, type: string, seat: string): Line[] =>
  file(name)
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Line)
    .filter((line) => line.type === type && line.seat === seat);

/** The nearest note of C major below or at the same distance: what the scale lock allows. */
const inMajor = (note: number): boolean => [0, 2, 4, 5, 7, 9, 11].includes(note % 12);

describe('a room on two computers', () => {
  it('plays at the speaker what was played on the units, pads and notes, by the speaker’s scale', () => {
    expect([far.code, near.code], far.err + near.err).toEqual([0, 0]);
    for (const [seat, count] of [
      ['north', 16],
      ['south', 4],
    ] as const) {
      const there = linesOf('far/latest/notes.jsonl', 'on', seat);
      const here = linesOf('near/latest/notes.jsonl', 'on', seat);
      expect(there).toHaveLength(count);
      expect(here).toHaveLength(count);
      const moved = here.map(({ note }, i) => note - there[i]!.note);
      for (const [i, by] of moved.entries()) {
        expect(Math.abs(by)).toBe(inMajor(there[i]!.note) ? 0 : 1);
      }
      expect(here.every(({ note }) => inMajor(note))).toBe(true);
      // Pads are dated again by the speaker's clock, to some microseconds, and strength is by time.
      const apart = here.map(({ velocity }, i) => Math.abs(velocity - there[i]!.velocity));
      expect(Math.max(...apart)).toBeLessThanOrEqual(seat === 'north' ? 3 : 0);
    }
    expect(
      linesOf('far/latest/notes.jsonl', 'on', 'north').some(({ note }) => !inMajor(note)),
    ).toBe(true);
  });

  it('ends every note, and says so at both ends', () => {
    for (const seat of ['north', 'south']) {
      const ons = linesOf('near/latest/notes.jsonl', 'on', seat).map(({ voice }) => voice);
      const offs = linesOf('near/latest/notes.jsonl', 'off', seat).map(({ voice }) => voice);
      expect(offs.sort((a, b) => a - b)).toEqual(ons);
    }
    expect(near.err).toContain('Seat north is handed on by 127.0.0.1');
    expect(near.err).not.toContain('any more');
    expect(far.err).toContain('which is handed pads');
    const sounding = new Set<unknown>();
    for (const { address, args } of heard) {
      if (address === '/note/on') sounding.add(args[0]);
      if (address === '/note/off') sounding.delete(args[0]);
    }
    expect(sounding.size).toBe(0);
    expect(heard.filter(({ address }) => address === '/near').length).toBe(20);
    expect(heard.filter(({ address }) => address === '/end').length).toBe(20);
  });

  it('leaves a take at the speaker that gives the same again, notes of another computer included', async () => {
    const again = await run(['rerun', 'near/latest/room.take.jsonl'], folder.path);
    expect([again.code, again.err]).toEqual([0, '']);
    expect(again.out).toBe(file('near/latest/notes.jsonl'));
    // On its own, without the room's scale.
    const south = await run(['rerun', 'near/latest/south.take.jsonl'], folder.path);
    const notes = south.out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Line)
      .filter(({ type }) => type === 'on');
    expect(notes.map(({ note }) => note)).toEqual(
      linesOf('far/latest/notes.jsonl', 'on', 'south').map(({ note }) => note),
    );
  });
});
