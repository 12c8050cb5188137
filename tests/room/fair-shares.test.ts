import { describe, expect, it } from 'vitest';
import type { Rules } from '../../src/instrument/types.js';
import type { NoteEvent } from '../../src/playing/note.js';
import type { Change } from '../../src/room/change.js';
import { voices } from '../../src/room/voices.js';
import type { Seated } from '../../src/time/alongside.js';
import { SECOND } from '../../src/time/micros.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { runStage } from '../support/run-stage.js';
import { limits, off, on, roomOf } from './rooms.js';

type In = Seated<NoteEvent> | Change;
let now = 0;
const next = (): number => ++now;

function heard(events: In[], most: number, own: Rules['voices'][] = limits(4)): string[] {
  return runStage(voices(own, roomOf(own.length, { voices: most })), events).flatMap((event) =>
    event.type === 'on' || event.type === 'off'
      ? [`${event.type} ${String(event.seat)}:${String(event.note)}`]
      : [],
  );
}
/** Notes of one seat on strings of their own, one after the other. */
const play = (seat: number, ...notes: number[]): In[] =>
  notes.map((note, string) => on(next(), seat, string, note));

describe('a full room', () => {
  it('has the newest note of a seat with the most yield to its own', () => {
    const events = [...play(0, 40, 41, 42), ...play(1, 50), on(next(), 0, 3, 43)];
    expect(heard(events, 4).slice(-2)).toEqual(['off 0:40', 'on 0:43']);
  });

  it('lets a seat with less take from the seat with the most, by that one’s rules', () => {
    const own = limits(4);
    own[0] = { most: 10, keep: 'lowest' };
    const events = [...play(0, 40, 43, 41), ...play(1, 50), on(next(), 2, 0, 60)];
    expect(heard(events, 4, own).slice(-2)).toEqual(['off 0:43', 'on 2:60']);
  });

  it('takes the oldest where several have the most', () => {
    const events = [...play(1, 50, 51), ...play(0, 40, 41), on(next(), 2, 0, 60)];
    expect(heard(events, 4).slice(-2)).toEqual(['off 1:50', 'on 2:60']);
  });

  it('lets everybody sound in turn where seats are more than voices', () => {
    const events = [...play(0, 40), ...play(1, 50), ...play(2, 60), ...play(3, 70)];
    expect(heard([...events, on(next(), 0, 1, 41)], 2)).toEqual([
      ...['on 0:40', 'on 1:50', 'off 0:40', 'on 2:60', 'off 1:50', 'on 3:70'],
      ...['off 2:60', 'on 0:41'],
    ]);
  });

  it('keeps each seat to its own limit as well', () => {
    const own = limits(2, { most: 2 });
    expect(heard(play(0, 40, 41, 42), 8, own)).toEqual([
      ...['on 0:40', 'on 0:41', 'off 0:40', 'on 0:42'],
    ]);
  });

  it('always lets a slur go on', () => {
    const slur = [off(next(), 0, 0, 40, true), on(now, 0, 0, 45, { how: 'slide' })];
    expect(heard([...play(0, 40), ...play(1, 50, 51), ...slur], 3).slice(-2)).toEqual([
      ...['off 0:40', 'on 0:45'],
    ]);
  });

  it('ends what is too much at once when its limit falls, from those with the most', () => {
    const events: In[] = [...play(0, 40, 41, 42), ...play(1, 50)];
    expect(heard([...events, { type: 'room-change', t: next(), voices: 2 }], 4).slice(-2)).toEqual([
      ...['off 0:40', 'off 0:41'],
    ]);
  });
});

/** Seats whose strings are plucked again all the time, each note held to its next one. */
function rush(plucks: readonly number[], strings: readonly number[], length: number): In[] {
  const random = seededNumbers(20_260_102);
  const events: { t: number; make: (held: (number | undefined)[][]) => In[] }[] = [];
  for (const [seat, every] of plucks.entries()) {
    // Waits between plucks as of people who do not hear each other: exponential.
    for (let t = every * random(); t < length; t += -Math.log(1 - random()) * every) {
      const at = Math.round(t);
      const string = Math.floor(random() * strings[seat]!);
      const note = 30 + Math.floor(random() * 40);
      const make = (held: (number | undefined)[][]): In[] => {
        const before = held[seat]![string];
        held[seat]![string] = note;
        const ends = before === undefined ? [] : [off(at, seat, string, before)];
        return [...ends, on(at, seat, string, note)];
      };
      events.push({ t: at, make });
    }
  }
  const held: (number | undefined)[][] = plucks.map(() => []);
  return events.sort((a, b) => a.t - b.t).flatMap(({ make }) => make(held));
}

/** By seat, how many voices it had on average. */
function averages(events: In[], seats: number, most: number, from: number, to: number): number[] {
  const sums = new Array<number>(seats).fill(0);
  const begun = new Map<number, { seat: number; t: number }>();
  const inside = (t: number): number => Math.min(Math.max(t, from), to);
  for (const event of runStage(voices(limits(seats), roomOf(seats, { voices: most })), events)) {
    if (event.type === 'on') begun.set(event.voice, event);
    if (event.type !== 'off') continue;
    sums[event.seat]! += inside(event.t) - inside(begun.get(event.voice)!.t);
    begun.delete(event.voice);
  }
  for (const { seat, t } of begun.values()) sums[seat]! += to - inside(t);
  return sums.map((sum) => sum / (to - from));
}

describe('ten minutes in which everybody always wants more', () => {
  const SEATS = 32;
  const LENGTH = 600 * SECOND;
  const every = (wait: number): number[] => Array.from({ length: SEATS }, () => wait);
  const six = Array.from({ length: SEATS }, () => 6);

  it.each([32, 48, 64, 75, 100])('share %i voices fairly, within a tenth', (most) => {
    const heardOf = averages(rush(every(SECOND / 4), six, LENGTH), SEATS, most, 5e6, LENGTH);
    const share = most / SEATS;
    for (const own of heardOf) {
      expect(own).toBeGreaterThan(0.9 * share);
      expect(own).toBeLessThan(1.1 * share);
    }
  });

  it('give as much to slow players as to quick ones, where the shares are whole', () => {
    const waits = every(SECOND / 4).map((wait, seat) => wait * (1 + (seat % 4)));
    for (const own of averages(rush(waits, six, LENGTH), SEATS, 64, 20e6, LENGTH)) {
      expect(own).toBeGreaterThan(0.9 * 2);
      expect(own).toBeLessThan(1.1 * 2);
    }
  });

  it('give all that they want to those who want less, and the rest in equal parts', () => {
    // Half of the seats are pipes, which have one note at a time: 16 of 64, and 48 for 16 others.
    const strings = six.map((count, seat) => (seat % 2 === 0 ? 1 : count));
    const heardOf = averages(rush(every(SECOND / 4), strings, LENGTH), SEATS, 64, 5e6, LENGTH);
    for (const [seat, own] of heardOf.entries()) {
      const share = seat % 2 === 0 ? 1 : 3;
      expect(own).toBeGreaterThan(0.9 * share);
      expect(own).toBeLessThan(1.1 * share);
    }
  });
});
