import type { Join, WayEvent } from '../pipeline.js';
import type { Scan } from '../wire/scan.js';
import { formatChange, parseChange } from './room-change.js';
import type { RoomTakeHeader } from './room-header.js';
import { parseJoin, parseLeave } from './room-join.js';
import { has, TakeSeats } from './room-seats.js';
import { formatTakeLine, parseTakeLine, type TakeHeader } from './take.js';

/**
 * What a room's take holds: what the wires of its seats brought, what people changed, and who joined
 * and left.
 */
export type RoomTakeEvent = WayEvent;

/**
 * Reads the lines after the header, one after another: who plays depends on those before. The answer
 * for a line is a string where something is wrong with it, and says what.
 */
export function roomLines(
  header: RoomTakeHeader,
): (line: string, after: number) => RoomTakeEvent | string {
  const seats = new TakeSeats(header.room.seats);
  let wide: TakeHeader = header;
  return (line, after) => {
    const event = parseRoomLine(line, wide, seats, after);
    if (typeof event !== 'string' && event.type === 'join') {
      const { first, inputs, full } = seats.at(event.seat)!;
      const most = Math.max(wide.inputs, first + inputs);
      wide = { ...wide, inputs: most, full: Math.max(wide.full, full) };
    }
    return event;
  };
}

function parseRoomLine(
  line: string,
  header: TakeHeader,
  seats: TakeSeats,
  after: number,
): RoomTakeEvent | string {
  const event = parseTakeLine(line, header, after);
  if (typeof event !== 'string' && event.type === 'scan') return place(event, seats);
  const value = objectIn(line);
  if (!value) return event as string;
  if ('change' in value) return parseChange(value.t, value.change, seats, after);
  if ('join' in value || 'leave' in value) return parseSeating(value, header, seats, after);
  const seat = seats.slotOf(value.seat);
  if (typeof event !== 'string') {
    return seat < 0 ? seats.which(value.seat) : { type: 'seated', t: event.t, seat, event };
  }
  // A scan of nothing but inputs that the seat does not count: its board was heard, no more.
  if (seat >= 0 && Object.keys(value).join() === 't,seat') {
    const scan = parseTakeLine(`[${String(value.t)}]`, header, after);
    return typeof scan === 'string' ? scan : { type: 'seated', t: scan.t, seat, event: scan };
  }
  return event;
}

function parseSeating(
  value: Record<string, unknown>,
  header: TakeHeader,
  seats: TakeSeats,
  after: number,
): RoomTakeEvent | string {
  // Its time is read as that of any other line.
  const mark = parseTakeLine(`[${JSON.stringify(value.t)}]`, header, after);
  if (typeof mark === 'string') return mark;
  return 'join' in value
    ? parseJoin(mark.t, value.join, seats)
    : parseLeave(mark.t, value.leave, seats);
}

/** Finds whose inputs a line's are. One without any is a mark of the time, and changes nothing. */
function place(scan: Scan, seats: TakeSeats): RoomTakeEvent | string {
  const { t, inputs, raws } = scan;
  const [lead] = inputs;
  if (lead === undefined) return { type: 'room-change', t };
  const seat = seats.slotWith(lead);
  const of = seats.at(seat);
  if (!of) return `input ${String(lead)} is of no seat: ${seats.ranges()}`;
  const other = inputs.find((input) => !has(of, input));
  if (other !== undefined) {
    return `inputs ${String(lead)} and ${String(other)} are not of one seat: ${seats.ranges()}; a line holds what one seat's board sent`;
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

/**
 * One line of a room's take, without its line end. (A seat that joins has a line of its own, `formatJoin`.)
 *
 * @param seats who plays just before it
 */
export function formatRoomLine(event: Exclude<RoomTakeEvent, Join>, seats: TakeSeats): string {
  if (event.type === 'leave') {
    return JSON.stringify({ t: event.t, leave: seats.at(event.seat)!.name });
  }
  if (event.type !== 'seated') return formatChange(event, seats);
  const { name, first } = seats.at(event.seat)!;
  const { t, event: own } = event;
  if (own.type === 'reset') return JSON.stringify({ t, event: own.why, seat: name });
  if (own.type !== 'scan') return formatTakeLine(own).replace(/\}$/, `,${named(name)}}`);
  if (own.inputs.length === 0) return JSON.stringify({ t, seat: name });
  return formatTakeLine({ ...own, inputs: own.inputs.map((input) => input + first) });
}

function named(seat: string): string {
  return `"seat":${JSON.stringify(seat)}`;
}
