import { Scale } from 'tonal';
import { nearest } from '../../instrument/near.js';
import { key, pitchClasses, scale } from '../../instrument/scale.js';
import type { PitchClasses } from '../../instrument/types.js';
import type { Wish } from '../../room/change.js';
import { decodeOsc, type OscArg, type OscMessage } from '../../wire/osc-codec.js';

/** A seat is to play by other rules. */
export interface RulesWish {
  readonly type: 'rules';
  readonly seat: number;
  /** As a room file names them. */
  readonly name: string;
}

export interface ControlDecoded {
  /** What is wanted, in the order of the messages. */
  readonly wishes: readonly (Wish | RulesWish | 'silence')[];
  /** One sentence for each message that was left out, in words for whoever set up the sender. */
  readonly faults: readonly string[];
}

/** Thrown for one message, caught where messages are counted. */
class BadMessage extends Error {}

type Arg = OscArg | readonly OscArg[];

/**
 * Reads what one OSC packet asks of the room: `/seat/level ,sf`, `/seat/pan ,sf`, `/seat/mute ,si`,
 * `/seat/solo ,si`, `/seat/lead ,si` and `/seat/sound ,si` name a seat first; `/room/scale ,s` is
 * "off", a key and a scale ("D dorian") or notes ("D F A"); `/room/duck ,f` is in dB; `/rules ,ss` is
 * a seat and the name of its new rules; `/silence`.
 * Whole numbers pass for floats and the other way round, T and F for 1 and 0. A bundle's time tag is
 * not looked at: a person's changes count as of when they come. It never throws.
 *
 * @param bytes one whole packet
 * @param seats the seats' names by slot; null where nobody plays
 */
export function decodeControl(
  bytes: Uint8Array,
  seats: readonly (string | null)[],
): ControlDecoded {
  const decoded = decodeOsc(bytes);
  if ('error' in decoded) return { wishes: [], faults: [`not an OSC packet: ${decoded.error}`] };
  const wishes: (Wish | RulesWish | 'silence')[] = [];
  const faults: string[] = [];
  for (const message of decoded.ok) {
    try {
      wishes.push(readMessage(message, seats));
    } catch (error) {
      if (!(error instanceof BadMessage)) throw error;
      faults.push(`${message.address}: ${error.message}`);
    }
  }
  return { wishes, faults };
}

const OF_SEAT: Readonly<Record<string, (arg: Arg) => Omit<Wish, 'type' | 'seat'>>> = {
  '/seat/level': (arg) => ({ level: numberIn(arg, 0, 1, 'a level is') }),
  '/seat/pan': (arg) => ({ pan: numberIn(arg, -1, 1, 'a pan is') }),
  '/seat/mute': (arg) => ({ mute: yesNo(arg) }),
  '/seat/solo': (arg) => ({ solo: yesNo(arg) }),
  '/seat/lead': (arg) => ({ lead: yesNo(arg) }),
  '/seat/sound': (arg) => ({ sound: wholeIn(arg, 1, 128, 'a sound is') }),
};

function readMessage(
  { address, args }: OscMessage,
  seats: readonly (string | null)[],
): Wish | RulesWish | 'silence' {
  const ofSeat = OF_SEAT[address];
  if (ofSeat) {
    const [seat, value] = exactly(args, 2, 'the name of a seat and a value');
    return { type: 'seat-change', seat: seatOf(seat!, seats), ...ofSeat(value!) };
  }
  switch (address) {
    case '/silence':
      return 'silence';
    case '/rules': {
      const [seat, name] = exactly(args, 2, 'the name of a seat and the name of its new rules');
      return { type: 'rules', seat: seatOf(seat!, seats), name: textOf(name!) };
    }
    case '/room/scale': {
      const [written] = exactly(args, 1, 'the scale, as "D dorian" or "off"');
      return { type: 'room-change', scale: scaleOf(textOf(written!)) };
    }
    case '/room/duck': {
      const [duck] = exactly(args, 1, 'the decibels');
      return { type: 'room-change', duck: numberIn(duck!, 0, 60, 'the decibels are') };
    }
    default: {
      const known = [...Object.keys(OF_SEAT), '/room/scale', '/room/duck', '/rules', '/silence'];
      const meant = nearest(address, known);
      throw new BadMessage(
        `no such message${meant === undefined ? '' : `; did you mean ${meant}?`}`,
      );
    }
  }
}

function exactly(args: readonly Arg[], count: number, what: string): readonly Arg[] {
  if (args.length === count) return args;
  throw new BadMessage(`has ${String(args.length)} arguments, and needs ${what}`);
}

function seatOf(arg: Arg, seats: readonly (string | null)[]): number {
  const name = textOf(arg);
  const seat = seats.indexOf(name);
  if (seat >= 0) return seat;
  const meant = nearest(
    name,
    seats.filter((one) => one !== null),
  );
  const guess = meant === undefined ? '' : `; did you mean "${meant}"?`;
  throw new BadMessage(`there is no seat named "${name}"${guess}`);
}

function textOf(arg: Arg): string {
  if ('type' in arg && (arg.type === 's' || arg.type === 'S')) return arg.value as string;
  throw new BadMessage(`${shown(arg)} is not a text`);
}

function numberOf(arg: Arg): number | undefined {
  if (!('type' in arg) || !['i', 'f', 'd'].includes(arg.type)) return undefined;
  return Number.isFinite(arg.value) ? (arg.value as number) + 0 : undefined;
}

function numberIn(arg: Arg, low: number, high: number, what: string): number {
  const value = numberOf(arg);
  if (value !== undefined && value >= low && value <= high) return value;
  throw new BadMessage(
    `${what} a number from ${String(low)} to ${String(high)}, not ${shown(arg)}`,
  );
}

function wholeIn(arg: Arg, low: number, high: number, what: string): number {
  const value = numberOf(arg);
  if (Number.isInteger(value) && value! >= low && value! <= high) return value!;
  throw new BadMessage(
    `${what} a whole number from ${String(low)} to ${String(high)}, not ${shown(arg)}`,
  );
}

function yesNo(arg: Arg): boolean {
  if ('type' in arg && (arg.type === 'T' || arg.type === 'F')) return arg.type === 'T';
  const value = numberOf(arg);
  if (value === 0 || value === 1) return value === 1;
  throw new BadMessage(`the value is 1 for yes or 0 for no, not ${shown(arg)}`);
}

/** @example scaleOf('D dorian') // [0, 2, 4, 5, 7, 9, 11] */
function scaleOf(written: string): PitchClasses | null {
  const text = written.trim();
  if (text.toLowerCase() === 'off') return null;
  const words = text.split(/\s+/).map((word, i) => (i === 0 ? capital(word) : word));
  const [first = '', ...rest] = words;
  const from = key.safeParse(first);
  const name = rest.join(' ');
  const read = from.success ? scale.safeParse(name) : null;
  if (from.success && read?.success && read.data) return pitchClasses(read.data, from.data);
  const notes = scale.safeParse(words.map(capital));
  if (notes.success && notes.data) return pitchClasses(notes.data, 0);
  const meant = from.success ? nearest(name.toLowerCase(), Scale.names()) : undefined;
  const guess = meant === undefined ? '' : `; did you mean "${first} ${meant}"?`;
  throw new BadMessage(
    `"${text}" is no scale: write its key and its name, as "D dorian", or its notes, or "off"${guess}`,
  );
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1);
}

function shown(arg: Arg): string {
  return 'type' in arg ? `${String(arg.value)} (${arg.type})` : 'a list';
}
