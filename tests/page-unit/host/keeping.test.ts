import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Order } from '../../../src/page/host/carry-out.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';
import { PADS, pageRoom, REST, SPAN, type PageRoomHands } from './room.js';

const ROOM = `# Ours.
seats:
  - name: north # by the window
    instrument: bass-4x4
    from: { player: demo }
    rules: mine
  - { name: south, instrument: bass-4x4, from: { player: demo } }
`;

let folder: string;
let room: PageRoomHands;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'keep-'));
  for (const own of ['rooms', 'rules']) mkdirSync(join(folder, own));
  writeFileSync(join(folder, 'rooms/class.yaml'), ROOM);
  writeFileSync(join(folder, 'rules/mine.yaml'), '# Mine.\nstrings: { ring: 3s }\n');
  writeFileSync(join(folder, 'rules/other.yaml'), 'strings: { ring: 1s }\n');
});
afterEach(async () => {
  await room.close();
  rmSync(folder, { recursive: true, force: true });
});

const read = (path: string): string => readFileSync(join(folder, path), 'utf8');

async function asked(order: Order): Promise<string | null> {
  const id = room.thread().order(order);
  await room.until(() => expect(room.thread().answer(id)).not.toBeUndefined());
  return room.thread().answer(id)!;
}

/** The swaps that a seat was given, once every file event has had its effect. */
async function swaps(seat: number) {
  for (let n = 0; n < 10; n++) {
    await pause(30);
    room.wait(100);
  }
  return room.played.flatMap((one) =>
    one.seat === seat && one.event.type === 'swap' ? [one.event] : [],
  );
}

describe('what was tried and is kept', () => {
  it('is a new rules file that the room names for the seat, by one swap to the same', async () => {
    room = await pageRoom('class', folder);
    await asked({ ask: 'try', seat: 0, values: { 'strings.slide': 'true' } });
    // A note that is held goes on through all of it.
    room.scans(0, 250);
    room.scans(0, 10, [0, 16]);
    const before = room.voices.length;
    expect(room.voices.some(({ type }) => type === 'on')).toBe(true);
    expect(await asked({ ask: 'keep', seat: 0, name: 'north slow' })).toBeNull();
    expect(await swaps(0)).toMatchObject([
      { rules: { name: 'mine', strings: { slide: true, ring: 3_000_000 } } },
      { rules: { name: 'north slow', strings: { slide: true, ring: 3_000_000 } } },
    ]);
    expect(await swaps(1)).toEqual([]);
    expect(room.voices.slice(before)).toEqual([]);
    expect(read('rooms/class.yaml')).toBe(ROOM.replace('rules: mine', 'rules: north slow'));
    expect(read('rules/mine.yaml')).toBe('# Mine.\nstrings: { ring: 3s }\n');
    expect(room.state('seats')[0]?.rules).toMatchObject({ name: 'north slow', tried: [] });
    expect(room.state('room').rulesNames).toContain('north slow');
    const { seats } = await loadWholeRoom('class', folder);
    expect(seats[0]?.rules.strings).toMatchObject({ slide: true, ring: 3_000_000 });
  });

  it('is in the file that the seat plays by, where that is its name, with its comments', async () => {
    room = await pageRoom('class', folder);
    await asked({ ask: 'try', seat: 0, values: { 'strings.ring': '2s' } });
    expect(await asked({ ask: 'keep', seat: 0, name: 'mine' })).toBeNull();
    expect(read('rules/mine.yaml')).toBe('# Mine.\nstrings: { ring: 2s }\n');
    expect(read('rooms/class.yaml')).toBe(ROOM);
    expect(await swaps(0)).toHaveLength(2);
    expect(room.state('seats')[0]?.rules.tried).toEqual([]);
  });

  it('goes over no file that the seat does not play by, but what was kept before', async () => {
    room = await pageRoom('class', folder);
    await asked({ ask: 'try', seat: 1, values: { 'strings.ring': '2s' } });
    expect(await asked({ ask: 'keep', seat: 1, name: 'other' })).toMatch(/choose another name/);
    expect(await asked({ ask: 'keep', seat: 1, name: 'plain' })).toMatch(/come with the program/);
    expect(read('rules/other.yaml')).toBe('strings: { ring: 1s }\n');
    expect(existsSync(join(folder, 'rules/plain.yaml'))).toBe(false);
    expect(read('rooms/class.yaml')).toBe(ROOM);
    expect(room.state('seats')[1]?.rules.tried).toEqual(['strings.ring']);

    expect(await asked({ ask: 'keep', seat: 1, name: 'fresh' })).toBeNull();
    await asked({ ask: 'try', seat: 0, values: { 'strings.slide': 'true' } });
    expect(await asked({ ask: 'keep', seat: 0, name: 'fresh' })).toBeNull();
    const { seats } = await loadWholeRoom('class', folder);
    expect(seats.map((seat) => seat.seat.rules)).toEqual(['fresh', 'fresh']);
    expect(seats[1]?.rules.strings).toMatchObject({ slide: true, ring: 3_000_000 });
    expect((await swaps(1)).at(-1)?.rules?.strings.slide).toBe(true);
  });

  it('of a room of the program is in a copy of it, which plays on and is watched', async () => {
    room = await pageRoom('demo', folder);
    await asked({ ask: 'try', seat: 0, values: { 'strings.ring': '2s' } });
    expect(await asked({ ask: 'keep', seat: 0, name: 'ours' })).toBeNull();
    expect(read('rooms/demo.yaml')).toContain('rules: ours');
    expect(read('rooms/demo.yaml')).not.toContain('yaml-language-server');
    expect(room.told.map(({ what }) => what).join('\n')).toMatch(/in a copy of it/);
    expect(room.state('seats')[0]?.rules).toMatchObject({ name: 'ours', tried: [] });
    let written = -Infinity;
    await room.until(() => {
      // Once more where it was saved before the file was watched.
      if (performance.now() - written > 1_000) {
        written = performance.now();
        writeFileSync(join(folder, 'rules/ours.yaml'), 'strings: { ring: 900ms }\n');
      }
      room.wait(100);
      expect(room.state('seats')[0]?.rules.values['strings.ring']).toBe('900ms');
    });
  });

  it('says in words where a file cannot be written, and plays on as tried', async () => {
    rmSync(join(folder, 'rules'), { recursive: true });
    writeFileSync(join(folder, 'rooms/class.yaml'), ROOM.replace('mine', 'plain'));
    room = await pageRoom('class', folder);
    // A file stands where the folder must be.
    writeFileSync(join(folder, 'rules'), '');
    await asked({ ask: 'try', seat: 0, values: { 'strings.ring': '2s' } });
    expect(await asked({ ask: 'keep', seat: 0, name: 'ours' })).toMatch(/cannot be written/);
    expect(room.state('seats')[0]?.rules.tried).toEqual(['strings.ring']);
  });
});

describe('a build that was made on a page', () => {
  const pads = PADS.map(() => ({ rest: REST, span: SPAN, noise: 4, coupling: [] }));
  const build = { wiring: PADS, pads };

  it('is written, named by the room, and in effect by one swap', async () => {
    room = await pageRoom('class', folder);
    expect(await asked({ ask: 'build', seat: 1, name: 'south', build })).toBeNull();
    expect(await swaps(1)).toMatchObject([{ build }]);
    expect(await swaps(0)).toEqual([]);
    expect(room.state('seats')[1]?.build).toBe('south');
    const { seats } = await loadWholeRoom('class', folder);
    expect(seats[1]?.build).toEqual(build);
    // Once more, as the room names it already.
    const other = { ...build, pads: pads.map((pad) => ({ ...pad, rest: 900 })) };
    expect(await asked({ ask: 'build', seat: 1, name: 'south', build: other })).toBeNull();
    expect(await swaps(1)).toMatchObject([{ build }, { build: other }]);
  });

  it('is in effect although another file of the room has a mistake just now', async () => {
    room = await pageRoom('class', folder);
    writeFileSync(join(folder, 'rules/mine.yaml'), 'strings: { ring: x }\n');
    const id = room.thread().order({ ask: 'build', seat: 1, name: 'south', build });
    await room.until(() => {
      room.wait(100);
      expect(room.thread().answer(id)).toBeNull();
    });
    expect(await swaps(1)).toMatchObject([{ build }]);
    expect(room.state('seats')[1]?.build).toBe('south');
  });

  it('of another instrument is refused', async () => {
    room = await pageRoom('class', folder);
    const few = { wiring: [0], pads: pads.slice(1) };
    const answer = await asked({ ask: 'build', seat: 1, name: 'south', build: few });
    expect(answer).toMatch(/found a build of 19 pads/);
    expect(existsSync(join(folder, 'builds/south.json'))).toBe(false);
  });
});
