import * as z from 'zod';
import type { Complaint } from '../instrument/explain.js';
import { FileFault } from '../instrument/fault.js';
import { read, type Form } from '../instrument/read.js';
import { text } from '../instrument/scalars.js';
import { TAKE_VERSION, type TakeHeader } from './take.js';

const whole = z.union([text, z.looseObject({})]);

/** One seat of a room's take, in its header and where it joins later. */
export const takeSeat = z.strictObject({
  name: text.describe('What the seat is called.'),
  first: z.int().min(0).describe("Which input of the take is the first of the seat's."),
  inputs: z.int().min(1).describe('How many inputs its board has.'),
  full: z.int().min(1).describe("The raw value of its board's full scale."),
  decided: z.boolean().default(false).describe('Its board decides itself what is a touch.'),
  made: z.boolean().default(false).describe('Its notes were made on another computer.'),
  numbered: z.boolean().optional().describe('Its board numbered its messages.'),
  instrument: whole.describe('The whole instrument, or its name.'),
  build: whole.nullable().default(null).describe('The whole build, or its name.'),
  wiring: z
    .array(z.int().min(0).nullable())
    .optional()
    .describe('Without a build, which pad each of its inputs is.'),
  rules: whole.default('plain').describe('The whole rules, or their name.'),
  level: z.number().min(0).max(1).default(0.8),
  pan: z.number().min(-1).max(1).default(0),
  mute: z.boolean().default(false),
  solo: z.boolean().default(false),
  lead: z.boolean().default(false),
  sound: z.int().min(1).max(128).nullable().default(null),
});

const room = z.strictObject({
  voices: z.int().min(1).max(512).default(64),
  scale: z.array(z.int().min(0).max(11)).min(1).nullable().default(null),
  duck: z.number().min(0).max(60).default(9),
  seats: z.array(takeSeat).min(1),
});

/** More seats than any room has. */
export const MOST_SEATS = 512;

/** One seat of a room's take. Its inputs are `first` to `first + inputs − 1` of the take's. */
export type RoomTakeSeat = z.infer<typeof takeSeat>;
/** What the header of a room's take says of the room. */
export type RoomTakeRoom = z.infer<typeof room>;

export interface RoomTakeHeader extends TakeHeader {
  readonly room: RoomTakeRoom;
}

const form: Form<RoomTakeRoom> = { schema: room, check: checkSeats };

/** Whether a take is of a whole room. (Any other take may carry a "room" of its own meaning.) */
export function isRoomTake(header: TakeHeader): boolean {
  return typeof header.room === 'object' && header.room !== null && 'seats' in header.room;
}

/**
 * Reads what a room's take says of its room.
 *
 * @param file its name for messages
 * @throws FileFault
 */
export function parseRoomHeader(header: TakeHeader, file: string): RoomTakeHeader {
  const { seats } = header.room as { seats?: unknown };
  // Looking through millions of them would take minutes.
  if (Array.isArray(seats) && seats.length > MOST_SEATS) {
    throw new FileFault([
      {
        file,
        at: { line: 1, column: 1 },
        key: 'room.seats',
        found: `${String(seats.length)} seats`,
        allowed: `at most ${String(MOST_SEATS)}`,
        fix: 'Use another take: no room of this program wrote this one',
      },
    ]);
  }
  const all = read(JSON.stringify(header.room), `${file} (room in its header)`, form).value;
  return { ...header, room: all };
}

/** The header of a room's take: seats' inputs follow one another in the order of the seats. */
export function roomHeader({
  seats,
  ...others
}: Omit<RoomTakeRoom, 'seats'> & {
  readonly seats: readonly Omit<RoomTakeSeat, 'first'>[];
}): RoomTakeHeader {
  let inputs = 0;
  const placed = seats.map((one) => {
    const first = inputs;
    inputs += one.inputs;
    return { ...one, first };
  });
  const full = Math.max(...seats.map((one) => one.full));
  return { take: TAKE_VERSION, inputs, full, room: { ...others, seats: placed } };
}

/** What the header of a take of this seat alone is. */
export function seatHeader(of: RoomTakeSeat): TakeHeader {
  const { name, inputs, full, decided, made, numbered, instrument, build, wiring, rules } = of;
  return {
    take: TAKE_VERSION,
    inputs,
    full,
    seat: name,
    rules,
    instrument,
    ...(decided ? { decided } : {}),
    ...(made ? { made } : {}),
    ...(numbered ? { numbered } : {}),
    ...(wiring ? { wiring } : {}),
    ...(build === null ? {} : { build: build as NonNullable<TakeHeader['build']> }),
  };
}

function checkSeats({ seats }: RoomTakeRoom): Complaint[] {
  return seats.flatMap(({ name, first, inputs }, i) => {
    const others = seats.slice(0, i);
    const alike = others.findIndex((other) => other.name === name);
    if (alike >= 0) {
      const found = `"${name}", the name of seat ${String(alike + 1)} too`;
      const allowed = 'a name of its own for each seat';
      return [{ path: ['seats', i, 'name'], found, allowed, fix: 'Rename one of the two seats' }];
    }
    const shared = others.find(
      (other) => first < other.first + other.inputs && other.first < first + inputs,
    );
    if (!shared) return [];
    return [
      {
        path: ['seats', i, 'first'],
        found: `${String(first)}, an input of ${shared.name} too`,
        allowed: 'inputs that no other seat has',
        fix: `Begin after the inputs of ${shared.name}, at ${String(shared.first + shared.inputs)} or later`,
      },
    ];
  });
}
