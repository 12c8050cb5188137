import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import * as z from 'zod';
import { fits, portNames, type Remembered } from './claim.js';
import type { Tell } from '../contracts.js';
import { shown } from '../files/find.js';
import { makeFolder } from '../files/make-folder.js';
import { fileTrouble } from '../files/fault.js';
import { compare, type UnitId } from './id.js';

/** Which units have had which seats, and which serial numbers are worth nothing. */
export interface UnitMemory {
  readonly remembered: readonly Remembered[];
  readonly alike: ReadonlySet<string>;
  /** A unit got a seat: both forget those that they had before. */
  keep(seat: string, part: string, port: string, id: UnitId): void;
  /** Serial numbers were seen on several units. */
  keepAlike(serials: readonly string[]): void;
  /** Forgets the units of these seats. */
  forget(seats: readonly string[]): void;
}

const UNITS = 'units.jsonl';

const words = z.string().min(1).max(1_000);
const seatLine = z.object({
  seat: words,
  port: words,
  usb: words,
  serial: words.nullable(),
  socket: words,
  midi: words,
});
const alikeLine = z.object({ alike: words });

interface Content {
  readonly remembered: Remembered[];
  readonly alike: Set<string>;
}

/** A memory for as long as the program runs, for where there is no folder. */
export function briefMemory(): UnitMemory {
  return memory({ remembered: [], alike: new Set() }, () => undefined);
}

/**
 * A memory in `units.jsonl` in the folder where a person keeps their files: a line a unit, so that a
 * line can be deleted by hand. A damaged line is told of and passed over; what cannot be written is
 * told of once and remembered for as long as the program runs.
 */
export function fileMemory(folder: string, tell: Tell): UnitMemory {
  const path = join(folder, UNITS);
  const where = shown(path);
  let failed = false;
  return memory(readUnits(path, where, tell), (content) => {
    try {
      writeSafely(path, formatUnits(content));
      failed = false;
    } catch (error) {
      if (failed) return;
      failed = true;
      tell({
        level: 'warn',
        what: `which unit plays at which seat could not be kept: ${fileTrouble(error)}`,
        where,
        next: 'It is remembered until the program ends; make the folder writable to keep it longer',
      });
    }
  });
}

function memory(content: Content, save: (content: Content) => void): UnitMemory {
  let { remembered } = content;
  const { alike } = content;
  return {
    get remembered() {
      return remembered;
    },
    alike,
    keep(seat, part, port, id) {
      const own = remembered.find((one) => one.seat === seat && one.port === port);
      if (own && JSON.stringify(own.id) === JSON.stringify(id)) return;
      remembered = remembered.filter(
        (one) =>
          compare(id, one.id, alike) !== 'same' &&
          !(one.seat === seat && fits(part, one.port, portNames([port]))),
      );
      remembered.push({ seat, port, id });
      save({ remembered, alike });
    },
    keepAlike(serials) {
      const fresh = serials.filter((serial) => !alike.has(serial));
      if (fresh.length === 0) return;
      for (const serial of fresh) alike.add(serial);
      save({ remembered, alike });
    },
    forget(seats) {
      const kept = remembered.filter(({ seat }) => !seats.includes(seat));
      if (kept.length === remembered.length) return;
      remembered = kept;
      save({ remembered, alike });
    },
  };
}

function readUnits(path: string, where: string, tell: Tell): Content {
  const content: Content = { remembered: [], alike: new Set() };
  let text = '';
  try {
    if (existsSync(path)) text = readFileSync(path, 'utf8');
  } catch (error) {
    const what = `which unit plays at which seat could not be read: ${fileTrouble(error)}`;
    tell({ level: 'warn', what, where, next: 'Touch a pad of each unit when asked to' });
  }
  const damaged: number[] = [];
  text.split(/\r?\n/).forEach((line, i) => {
    if (line.trim() !== '' && !readLine(line, content)) damaged.push(i + 1);
  });
  if (damaged.length > 0) {
    tell({
      level: 'warn',
      what: `${damaged.length === 1 ? 'a line is' : `${String(damaged.length)} lines are`} damaged and passed over`,
      where: `${where}:${String(damaged[0])}`,
      next: 'Touch a pad of each unit that is asked for; the file is then written again',
    });
  }
  return content;
}

function readLine(line: string, { remembered, alike }: Content): boolean {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch {
    return false;
  }
  const seat = seatLine.safeParse(value);
  if (seat.success) {
    const { seat: name, port, usb, serial, socket, midi } = seat.data;
    remembered.push({ seat: name, port, id: { usb, serial, socket, midi } });
    return true;
  }
  const serial = alikeLine.safeParse(value);
  if (serial.success) alike.add(serial.data.alike);
  return serial.success;
}

function formatUnits({ remembered, alike }: Content): string {
  const lines = remembered.map(({ seat, port, id: { usb, serial, socket, midi } }) =>
    JSON.stringify({ seat, port, usb, serial, socket, midi }),
  );
  return [...lines, ...[...alike].map((one) => JSON.stringify({ alike: one })), ''].join('\n');
}

/** All of the file or nothing: a cut of power leaves the old one. */
function writeSafely(path: string, text: string): void {
  makeFolder(dirname(path));
  writeFileSync(`${path}.new`, text);
  renameSync(`${path}.new`, path);
}
