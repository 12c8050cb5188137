import type { Rules } from '../../src/instrument/types.js';
import type { How, NoteEvent } from '../../src/playing/note.js';
import { plainRoom, type RoomPlan, type SeatMix } from '../../src/room/plan.js';
import type { Reason } from '../../src/time/events.js';
import type { Seated } from '../../src/time/alongside.js';

/** A note of a seat that begins. */
export function on(
  t: number,
  seat: number,
  string: number,
  note: number,
  more: { strength?: number; how?: How } = {},
): Seated<NoteEvent> {
  const { strength = 0.5, how = 'pluck' } = more;
  const event: NoteEvent = {
    type: 'on',
    t,
    note,
    velocity: 64,
    strength,
    string,
    fret: 0,
    how,
  };
  return { type: 'seated', t, seat, event };
}

export function off(
  t: number,
  seat: number,
  string: number,
  note: number,
  slurred = false,
): Seated<NoteEvent> {
  return { type: 'seated', t, seat, event: { type: 'off', t, note, string, slurred } };
}

export function reset(t: number, seat: number, why: Reason): Seated<NoteEvent> {
  return { type: 'seated', t, seat, event: { type: 'reset', t, why } };
}

/** A room in which nothing is held back but what is given. */
export function roomOf(
  seats: number,
  own: Partial<RoomPlan> = {},
  mixes: Readonly<Record<number, Partial<SeatMix>>> = {},
): RoomPlan {
  const plain = plainRoom(seats);
  return { ...plain, ...own, mixes: plain.mixes.map((mix, i) => ({ ...mix, ...mixes[i] })) };
}

export function limits(seats: number, limit: Partial<Rules['voices']> = {}): Rules['voices'][] {
  return Array.from({ length: seats }, () => ({ most: 10, keep: 'latest' as const, ...limit }));
}
