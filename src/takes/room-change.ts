import * as z from 'zod';
import { keyPath } from '../instrument/read.js';
import type { Change } from '../room/change.js';
import { roomChange, seatChange, stated } from './change-shape.js';
import type { TakeSeats } from './room-seats.js';

const ofSeat = z.strictObject({ seat: z.string(), ...seatChange });
const ofRoom = z.strictObject(roomChange);

/** Reads what a line says that a person changed. A string is what is wrong with it. */
export function parseChange(
  t: unknown,
  value: unknown,
  seats: TakeSeats,
  after: number,
): Change | string {
  if (typeof t !== 'number' || !Number.isSafeInteger(t) || t < 0) {
    return 'it has no "t", a time in whole microseconds';
  }
  if (t < after) return `its time ${String(t)} is before the line above it`;
  const one = typeof value === 'object' && value !== null && 'seat' in value;
  const { success, data, error } = one ? ofSeat.safeParse(value) : ofRoom.safeParse(value);
  if (!success) {
    const [issue] = error.issues;
    const key = keyPath(['change', ...(issue?.path ?? [])] as string[]);
    return `what was changed cannot be read: ${key}: ${issue?.message ?? 'unknown'}`;
  }
  if (!('seat' in data)) return { type: 'room-change', t, ...stated(data) };
  const seat = seats.slotOf(data.seat);
  if (seat < 0) return seats.which(data.seat);
  return { type: 'seat-change', t, ...stated(data), seat };
}

/** One line of a room's take, without its line end. */
export function formatChange(change: Change, seats: TakeSeats): string {
  const { t } = change;
  const what = { ...change, type: undefined, t: undefined };
  if (change.type === 'room-change') return JSON.stringify({ t, change: what });
  return JSON.stringify({ t, change: { ...what, seat: seats.at(change.seat)?.name } });
}
