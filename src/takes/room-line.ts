import type { Change } from '../room/change.js';
import type { Seated } from '../time/alongside.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import { formatChange, parseChange } from './room-change.js';
import type { RoomTakeHeader, RoomTakeSeat } from './room-header.js';
import { has, rangesOf, whichSeat } from './room-seats.js';
import { formatTakeLine, parseTakeLine } from './take.js';

/** What a room's take holds: what the wires of its seats brought, and what people changed. */
export type RoomTakeEvent = Seated<WireEvent> | Change;

/** Reads one line after the header. A string is what is wrong with it. */
export function parseRoomLine(
  line: string,
  header: RoomTakeHeader,
  after: number,
): RoomTakeEvent | string {
  const { seats } = header.room;
  const event = parseTakeLine(line, header, after);
  if (typeof event !== 'string' && event.type === 'scan') return place(event, seats);
  const value = objectIn(line);
  if (!value) return event as string;
  if ('change' in value) return parseChange(value.t, value.change, seats, after);
  const seat = seats.findIndex(({ name }) => name === value.seat);
  if (typeof event !== 'string') {
    return seat < 0 ? whichSeat(value.seat, seats) : { type: 'seated', t: event.t, seat, event };
  }
  // A scan of nothing but inputs that the seat does not count: its board was heard, no more.
  if (seat >= 0 && Object.keys(value).join() === 't,seat') {
    const scan = parseTakeLine(`[${String(value.t)}]`, header, after);
    return typeof scan === 'string' ? scan : { type: 'seated', t: scan.t, seat, event: scan };
  }
  return event;
}

/** Finds whose inputs a line's are. One without any is a mark of the time, and changes nothing. */
function place(scan: Scan, seats: readonly RoomTakeSeat[]): RoomTakeEvent | string {
  const { t, inputs, raws } = scan;
  const [lead] = inputs;
  if (lead === undefined) return { type: 'room-change', t };
  const seat = seats.findIndex((one) => has(one, lead));
  const of = seats[seat];
  if (!of) return `input ${String(lead)} is of no seat: ${rangesOf(seats)}`;
  const other = inputs.find((input) => !has(of, input));
  if (other !== undefined) {
    return `inputs ${String(lead)} and ${String(other)} are not of one seat: ${rangesOf(seats)}; a line holds what one seat's board sent`;
  }
  const high = raws.findIndex((raw) => raw > of.full);
  if (high >= 0) {
    return `raw value ${String(raws[high])} of input ${String(inputs[high])} is above ${String(of.full)}, the full scale of ${of.name}`;
  }
  const event: Scan = { type: 'scan', t, inputs: inputs.map((input) => input - of.first), raws };
  return { type: 'seated', t, seat, event };
}

function objectIn(line: string): Record<string, unknown> | null {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' && value !== null && !Array.isArray(value)
      ? (value as Record<string, unknown>)
      : null;
  } catch {
    return null;
  }
}

/** One line of a room's take, without its line end. */
export function formatRoomLine(event: RoomTakeEvent, seats: readonly RoomTakeSeat[]): string {
  if (event.type !== 'seated') return formatChange(event, seats);
  const { name, first } = seats[event.seat]!;
  const { t, event: own } = event;
  if (own.type === 'reset') return JSON.stringify({ t, event: own.why, seat: name });
  if (own.type !== 'scan') return formatTakeLine(own).replace(/\}$/, `,${named(name)}}`);
  if (own.inputs.length === 0) return JSON.stringify({ t, seat: name });
  return formatTakeLine({ ...own, inputs: own.inputs.map((input) => input + first) });
}

function named(seat: string): string {
  return `"seat":${JSON.stringify(seat)}`;
}
