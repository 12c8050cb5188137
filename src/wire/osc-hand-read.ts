import type { Reason } from '../time/events.js';
import { REASONS } from '../time/events.js';
import type { OscMessage } from './osc-codec.js';
import type { HandOn, HandPacket, HandPart } from './osc-hand.js';
import { noSeat, overWords, readPads, textOf, wholeOf, type FullOf } from './osc-pads.js';
import { IMMEDIATELY } from './osc-time.js';

/** A packet, and one sentence for each message in it that was left out. */
export interface HandRead {
  readonly packet: HandPacket;
  readonly faults: readonly string[];
}

/** Whether the messages of a packet were handed on by another computer. */
export function isHand(messages: readonly OscMessage[]): boolean {
  return messages[0]?.address === '/hand';
}

/**
 * Reads a packet that `encodeHand` wrote. A string is what is wrong with all of it. It never throws.
 *
 * @param messages of one bundle; the first is `/hand`
 * @param fullOf the full scale of a seat's board; undefined where there is no such seat
 */
export function readHand(messages: readonly OscMessage[], fullOf: FullOf): HandRead | string {
  const [head, ...rest] = messages;
  const seat = head?.args[0] && textOf(head.args[0]);
  const run = head?.args[1] && wholeOf(head.args[1]);
  const number = head?.args[2] && wholeOf(head.args[2]);
  if (seat === undefined || run === undefined || number === undefined || number < 0) {
    return '/hand is seat, run and running number';
  }
  if (fullOf(seat) === undefined) return noSeat(seat);
  const parts: HandPart[] = [];
  const faults: string[] = [];
  for (let i = 0; i < rest.length; i++) {
    const message = rest[i]!;
    const part = readPart(message, rest[i + 1], seat, fullOf);
    if (part === null) continue;
    if (typeof part === 'string') faults.push(`${message.address}: ${part}`);
    else add(parts, part);
  }
  return { packet: { seat, run, number, at: head?.at ?? IMMEDIATELY, parts }, faults };
}

/** Readings of several messages were made together; an off before an on is carried on by it. */
function add(parts: HandPart[], part: HandPart): void {
  const last = parts.at(-1);
  if ((part.type === 'scan' || part.type === 'now') && last?.type === part.type) {
    const inputs = [...last.inputs, ...part.inputs];
    parts[parts.length - 1] = { ...part, inputs, raws: [...last.raws, ...part.raws] };
    return;
  }
  if (part.type === 'on' && last?.type === 'off')
    parts[parts.length - 1] = { ...last, slurred: true };
  parts.push(part);
}

/** null: nothing by itself. */
function readPart(
  message: OscMessage,
  next: OscMessage | undefined,
  seat: string,
  fullOf: FullOf,
): HandPart | string | null {
  const { address, args } = message;
  switch (address) {
    case '/pad':
    case '/pads':
    case '/pads/now': {
      const reading = readPads({ ...message, address: address.replace('/now', '') }, fullOf);
      if (typeof reading === 'string') return reading;
      if ('full' in reading) return overWords(reading);
      if (reading.seat !== seat) return `is of seat "${reading.seat}", in a packet of "${seat}"`;
      const { inputs, raws } = reading;
      return { type: address === '/pads/now' ? 'now' : 'scan', inputs, raws };
    }
    case '/note/on':
      return readOn(message, next);
    case '/hand/note':
      return null;
    case '/note/off': {
      const voice = args[0] && wholeOf(args[0]);
      return voice === undefined
        ? 'is the number of a voice'
        : { type: 'off', voice, slurred: false };
    }
    case '/sounding': {
      const voices = args.slice(1).map(wholeOf);
      return voices.every((one) => one !== undefined)
        ? { type: 'sounding', voices }
        : 'is a seat and the numbers of voices';
    }
    case '/reset': {
      const why = args[1] && textOf(args[1]);
      return REASONS.some((one) => one === why)
        ? { type: 'reset', why: why as Reason }
        : 'is a seat and a reason';
    }
    default:
      // Whatever a later version may add.
      return null;
  }
}

function readOn({ args }: OscMessage, next: OscMessage | undefined): HandOn | string {
  const [voice, note] = args.slice(0, 2).map(wholeOf);
  const strength = numberOf(args[3]);
  const own = next?.address === '/hand/note' ? next.args : [];
  const [same, velocity, string, fret] = own.slice(0, 4).map(wholeOf);
  const how = own[4] && textOf(own[4]);
  if (voice === undefined || same !== voice || how === undefined) {
    return 'is voice, note, frequency and strength, and /hand/note of the same voice comes next';
  }
  if (!within(note, 0, 127) || !within(velocity, 1, 127)) {
    return 'its note is from 0 to 127, its velocity from 1 to 127';
  }
  if (strength === undefined || strength < 0 || strength > 1) return 'its strength is from 0 to 1';
  if (!within(string, 0, 4095) || !within(fret, 0, 4095)) return 'string and fret count from 0';
  return { type: 'on', voice, note, velocity, strength, string, fret, how };
}

function within(value: number | undefined, least: number, most: number): value is number {
  return value !== undefined && value >= least && value <= most;
}

function numberOf(arg: OscMessage['args'][number] | undefined): number | undefined {
  if (!arg || !('type' in arg) || typeof arg.value !== 'number') return undefined;
  return Number.isFinite(arg.value) ? arg.value : undefined;
}
