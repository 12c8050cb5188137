import type { Reason } from '../time/events.js';
import { encodeOsc, type OscArg, type OscMessage } from './osc-codec.js';
import type { OscTimeTag } from './osc-time.js';

/** One packet of what a computer hands on: what happened on one seat at one time. */
export interface HandPacket {
  readonly seat: string;
  /** Names one run of the program that hands on. */
  readonly run: number;
  /** Counts up from 0 in a run, by one a packet of this seat, so that loss can be counted. */
  readonly number: number;
  /** When it happened, on the clock of the computer that hands it on. */
  readonly at: OscTimeTag;
  readonly parts: readonly HandPart[];
}

export type HandPart =
  /** Readings that were made together. */
  | { readonly type: 'scan'; readonly inputs: readonly number[]; readonly raws: readonly number[] }
  /** What inputs read last, again and again, for whoever lost a scan. */
  | { readonly type: 'now'; readonly inputs: readonly number[]; readonly raws: readonly number[] }
  | HandOn
  /** `slurred`: the very next part carries it on. */
  | { readonly type: 'off'; readonly voice: number; readonly slurred: boolean }
  /** All that sounds, again and again, for whoever lost an off. */
  | { readonly type: 'sounding'; readonly voices: readonly number[] }
  | { readonly type: 'reset'; readonly why: Reason };

export interface HandOn {
  readonly type: 'on';
  readonly voice: number;
  readonly note: number;
  readonly velocity: number;
  readonly strength: number;
  readonly string: number;
  readonly fret: number;
  readonly how: string;
}

/** The last number of a run: an OSC integer has 32 bits. */
export const LAST_NUMBER = 2 ** 31 - 1;

const whole = (value: number): OscArg => ({ type: 'i', value });
const text = (value: string): OscArg => ({ type: 's', value });

/**
 * Writes one packet as a bundle with its time tag: `/hand ,sii` is seat, run and number, then what
 * happened, so that receivers that know nothing of it understand the rest: `/pads ,si…` as boards send
 * it, `/note/on ,iiff` and `/note/off ,i` as receivers of notes get them. Our own are `/pads/now ,si…`
 * (what inputs read last), `/hand/note ,iiiis` (voice, velocity, string, fret, how), `/sounding ,si…`
 * (seat, voices that sound) and `/reset ,ss` (seat, why).
 *
 * @throws RangeError where a value cannot be sent
 */
export function encodeHand({ seat, run, number, at, parts }: HandPacket): Uint8Array {
  const head = { address: '/hand', args: [text(seat), whole(run), whole(number)] };
  return encodeOsc({ at, packets: [head, ...parts.flatMap((part) => messagesOf(seat, part))] });
}

function messagesOf(seat: string, part: HandPart): OscMessage[] {
  switch (part.type) {
    case 'scan':
      return padsMessages('/pads', seat, part);
    case 'now':
      return padsMessages('/pads/now', seat, part);
    case 'on':
      return noteMessages(part);
    case 'off':
      return [{ address: '/note/off', args: [whole(part.voice)] }];
    case 'sounding':
      return [{ address: '/sounding', args: [text(seat), ...part.voices.map(whole)] }];
    case 'reset':
      return [{ address: '/reset', args: [text(seat), text(part.why)] }];
  }
}

/** One message for each run of inputs that follow one another. */
function padsMessages(
  address: string,
  seat: string,
  { inputs, raws }: { readonly inputs: readonly number[]; readonly raws: readonly number[] },
): OscMessage[] {
  const messages: { address: string; args: OscArg[] }[] = [];
  inputs.forEach((input, i) => {
    const follows = i > 0 && input === inputs[i - 1]! + 1;
    if (!follows) messages.push({ address, args: [text(seat), whole(input)] });
    messages.at(-1)!.args.push(whole(raws[i]!));
  });
  return messages;
}

function noteMessages({
  voice,
  note,
  strength,
  velocity,
  string,
  fret,
  how,
}: HandOn): OscMessage[] {
  // Equal temperament, A4 = 440 Hz.
  const frequency = 440 * 2 ** ((note - 69) / 12);
  const floats = [frequency, strength].map((value) => ({ type: 'f', value }));
  const own = [voice, velocity, string, fret].map(whole);
  return [
    { address: '/note/on', args: [whole(voice), whole(note), ...floats] },
    { address: '/hand/note', args: [...own, text(how)] },
  ];
}
