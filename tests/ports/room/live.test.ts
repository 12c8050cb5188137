import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Notice } from '../../../src/ports/contracts.js';
import { loadWholeRoom } from '../../../src/ports/files/room.js';
import { liveRoom, type LiveRoom } from '../../../src/ports/room/live.js';
import { loadRules } from '../../../src/ports/files/files.js';
import { rulesChoice } from '../../../src/ports/room/rules-choice.js';
import type { Rules } from '../../../src/instrument/types.js';
import type { Wish } from '../../../src/room/change.js';
import type { Swap } from '../../../src/wire/scan.js';
import { liveSeats } from '../../support/live-seats.js';

const ROOM = `seats:
  - name: north
    instrument: bass-4x4
    from: { player: demo }
    rules: mine
    switch: { rules: [mine, legato, yours] }
`;

/** The bass of the shipped instruments, a whole tone lower. */
const LOW = `name: Low bass
kind: strings
sound: 33
strings:
  - { open: F2, frets: [0, 4, 8, 12], pluck: 16 }
  - { open: C2, frets: [1, 5, 9, 13], pluck: 17 }
  - { open: G1, frets: [2, 6, 10, 14], pluck: 18 }
  - { open: D1, frets: [3, 7, 11, 15], pluck: 19 }
`;

let folder: string;
let live: LiveRoom | null = null;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'live-'));
  mkdirSync(join(folder, 'rules'));
  mkdirSync(join(folder, 'rooms'));
  mkdirSync(join(folder, 'instruments'));
  put('rules/mine.yaml', 'strings: { slide: false }\n');
  put('rules/yours.yaml', 'strings: { ring: 2s }\n');
  put('rooms/class.yaml', ROOM);
});
afterEach(async () => {
  await live?.close();
  live = null;
  rmSync(folder, { recursive: true, force: true });
});

function put(path: string, text: string): void {
  writeFileSync(join(folder, path), text);
}

async function start(load?: (name: string) => Promise<Rules>) {
  const swaps: [number, Omit<Swap, 'type' | 't'>][] = [];
  const wishes: Wish[] = [];
  const told: Notice[] = [];
  const whole = await loadWholeRoom('class', folder);
  const joins: unknown[][] = [];
  const service = {
    join: (...join: unknown[]) => void joins.push(join),
    swap: (seat: number, files: Omit<Swap, 'type' | 't'>) => void swaps.push([seat, files]),
    change: (wish: Wish) => void wishes.push(wish),
  };
  const tell = (notice: Notice): void => void told.push(notice);
  const choice = rulesChoice({ seats: whole.seats, folder, service, tell, ...(load && { load }) });
  live = liveRoom({
    name: 'class',
    folder,
    whole,
    tell,
    apply: liveSeats(whole, folder, service, { rules: choice }),
  });
  await live.ready;
  const until = (check: () => void): Promise<void> => vi.waitFor(check, { timeout: 20_000 });
  return { swaps, joins, wishes, told, until, choice };
}

describe('files that are saved while a room plays', () => {
  it('rules take effect, also when an editor writes them beside and moves them there', async () => {
    const { swaps, until } = await start();
    put('rules/mine.yaml', 'strings: { slide: true }\n');
    await until(() => expect(swaps).toHaveLength(1));
    expect(swaps[0]).toMatchObject([0, { rules: { name: 'mine', strings: { slide: true } } }]);
    put('rules/mine.yaml~', 'strings: { ring: 1s }\n');
    renameSync(join(folder, 'rules/mine.yaml~'), join(folder, 'rules/mine.yaml'));
    await until(() => expect(swaps).toHaveLength(2));
    expect(swaps[1]).toMatchObject([0, { rules: { strings: { slide: false, ring: 1_000_000 } } }]);
  });

  it('a faulty file changes nothing, and is told with its line and fix until it is right', async () => {
    const { swaps, wishes, told, until } = await start();
    put('rules/mine.yaml', 'strings:\n  slide: perhaps\n');
    await until(() => expect(told.some(({ where }) => where?.includes(':2:10'))).toBe(true));
    expect([swaps, wishes]).toEqual([[], []]);
    expect(told.map(({ what }) => what).join()).toContain(
      'found "perhaps", allowed: true or false',
    );
    expect(live?.whole.seats[0]?.rules.strings.slide).toBe(false);
    put('rules/mine.yaml', 'strings:\n  slide: true\n');
    await until(() => expect(swaps).toHaveLength(1));
    expect(told.some(({ what }) => what === 'The files are right again')).toBe(true);
  });

  it('the room file changes levels, what is shared and where notes go', async () => {
    const { swaps, wishes, told, until } = await start();
    put(
      'rooms/class.yaml',
      `${ROOM}    level: 0.25\nscale: dorian\nto: [{ osc: { host: 127.0.0.1, port: 9 } }]\n`,
    );
    await until(() => expect(wishes).toHaveLength(2));
    expect(wishes).toEqual([
      { type: 'seat-change', seat: 0, level: 0.25 },
      { type: 'room-change', scale: [0, 2, 3, 5, 7, 9, 10] },
    ]);
    expect(swaps).toEqual([]);
    await until(() => expect(told.at(-1)?.what).toBe('What the room shares has changed: scale'));
    expect(told.map(({ what }) => what)).toEqual([
      'Now level 0.25',
      'Notes no longer go to the built-in engine; what sounded there was ended',
      'Notes now go to OSC at 127.0.0.1, UDP port 9',
      'What the room shares has changed: scale',
    ]);
  });

  it('another tuning is a swap, and an instrument of another size has the seat begin again', async () => {
    const { swaps, joins, told, until } = await start();
    put('instruments/low.yaml', LOW);
    put('rooms/class.yaml', ROOM.replace('bass-4x4', 'low'));
    await until(() => expect(swaps).toHaveLength(1));
    expect(swaps[0]).toMatchObject([0, { instrument: { kind: 'strings', sound: 33 } }]);
    put('rooms/class.yaml', ROOM.replace('bass-4x4', 'ukulele-4x6'));
    await until(() => expect(joins).toHaveLength(1));
    expect(joins[0]).toMatchObject([
      ...[0, { name: 'north', plan: { instrument: { sound: 25 }, pads: { pads: 28 } } }],
      { level: 0.8, sound: 25 },
    ]);
    const begun = /^It starts again, .*: .*ukulele/i;
    await until(() => expect(told.some(({ what }) => begun.test(what))).toBe(true));
    expect(swaps).toHaveLength(1);
  });

  it('rules that were switched to are brought up to date when their file is saved', async () => {
    const { swaps, until, choice } = await start();
    choice.numbered(0, 3);
    expect(swaps[0]).toMatchObject([0, { rules: { name: 'yours' } }]);
    put('rules/yours.yaml', 'strings: { ring: 3s }\n');
    await until(() => expect(swaps).toHaveLength(2));
    expect(swaps[1]).toMatchObject([0, { rules: { strings: { ring: 3_000_000 } } }]);
  });
});

describe('switching rules', () => {
  it('goes through the list and begins with the ones that are on', async () => {
    const { swaps, choice, until } = await start();
    for (const name of ['legato', 'yours', 'mine']) {
      choice.next(0);
      await until(() => expect(swaps.at(-1)![1].rules?.name).toBe(name));
    }
    expect(swaps).toHaveLength(3);
  });

  it('loads one at a time, and of many that are asked for at once only the first and the latest take effect', async () => {
    const folders: string[] = [];
    let [atOnce, most] = [0, 0];
    const { swaps, choice, until } = await start(async (name) => {
      folders.push(name);
      most = Math.max(most, ++atOnce);
      const rules = await loadRules('instant', folder);
      atOnce--;
      return { ...rules, name };
    });
    const all = Array.from({ length: 50 }, (_, n) => choice.named(0, `rules-${String(n)}`));
    await Promise.all(all);
    expect(most).toBe(1);
    expect(folders).toEqual(['rules-0', 'rules-49']);
    expect(swaps.map(([, { rules }]) => rules?.name)).toEqual(['rules-49']);
    // By a gesture or a program change after that: the name that was still to be loaded is forgotten.
    const late = choice.named(0, 'rules-50');
    for (let n = 0; n < 20; n++) choice.next(0);
    choice.numbered(0, 3);
    await late;
    await until(() => expect(swaps.at(-1)![1].rules?.name).toBe('yours'));
    expect(swaps.length).toBeLessThan(4);
  });

  it('takes any rules by name, and says what is wrong where there are none', async () => {
    const { swaps, told, choice } = await start();
    await choice.named(0, 'instant');
    expect(swaps.map(([, { rules }]) => rules?.name)).toEqual(['instant']);
    await choice.named(0, 'legatto');
    expect(swaps).toHaveLength(1);
    expect(told.at(-1)?.what).toContain('Did you mean "legato"?');
  });

  it('a program that no list has changes nothing', async () => {
    const { swaps, told, choice } = await start();
    choice.numbered(0, 4);
    expect(swaps).toEqual([]);
    expect(told.at(-1)?.what).toBe('A program change asks for rule set 4, and there are 3');
  });
});
