import { decodeOsc, encodeOsc, type OscArg, type OscMessage } from './osc-codec.js';

/** Raw values of one seat, as the board sent them together. */
export interface SeatReading {
  readonly seat: string;
  readonly inputs: readonly number[];
  readonly raws: readonly number[];
}

export interface PadsDecoded {
  readonly readings: readonly SeatReading[];
  /** One sentence for each message that was left out, in words for whoever set up the sender. */
  readonly faults: readonly string[];
  /** Those that were left out since the board counts further than the seat does. */
  readonly over: readonly OverScale[];
}

/** A message with a raw value above the full scale of its seat. */
export interface OverScale {
  readonly seat: string;
  readonly input: number;
  readonly raw: number;
  readonly full: number;
}

/** The full scale of a seat's board; undefined where there is no such seat. */
export type FullOf = (seat: string) => number | undefined;

/** Inputs go from 0 to one less than this, on any wire. */
export const OSC_INPUTS = 1024;

/**
 * Reads raw pads from one OSC packet: `/pad ,sii` is seat, input, raw; `/pads ,si…` is seat, first
 * input, raw values of it and those after it. Floats that are whole numbers pass for integers. A
 * bundle's time tag is not looked at: readings count as of when they come. It never throws.
 *
 * @param bytes one whole packet
 * @param fullOf the full scale of a seat's board; undefined where there is no such seat
 */
export function decodePads(bytes: Uint8Array, fullOf: FullOf): PadsDecoded {
  const decoded = decodeOsc(bytes);
  if ('error' in decoded) {
    return { readings: [], faults: [`not an OSC packet: ${decoded.error}`], over: [] };
  }
  return padsIn(decoded.ok, fullOf);
}

/** The same of messages that were read already. */
export function padsIn(messages: readonly OscMessage[], fullOf: FullOf): PadsDecoded {
  const readings: SeatReading[] = [];
  const faults: string[] = [];
  const over: OverScale[] = [];
  for (const message of messages) {
    const reading = readPads(message, fullOf);
    if (typeof reading === 'string') faults.push(`${message.address}: ${reading}`);
    else if ('full' in reading) over.push(reading);
    else readings.push(reading);
  }
  return { readings, faults, over };
}

/** Reads one message with raw pads. A string is what is wrong with it. */
export function readPads(
  { address, args }: OscMessage,
  fullOf: FullOf,
): SeatReading | OverScale | string {
  const one = address === '/pad';
  if (!one && address !== '/pads') return 'raw pads come as /pad or /pads';
  if (one ? args.length !== 3 : args.length < 3) {
    const wanted = one ? 'seat, input and raw value' : 'seat, first input and raw values';
    return `has ${String(args.length)} arguments, and needs ${wanted}`;
  }
  const seat = textOf(args[0]!);
  if (seat === undefined) return 'the first argument must be a string, the name of a seat';
  const full = fullOf(seat);
  if (full === undefined) return noSeat(seat);

  const first = wholeOf(args[1]!);
  const last = (first ?? 0) + args.length - 3;
  if (first === undefined || first < 0 || last >= OSC_INPUTS) {
    return `seat "${seat}": inputs are whole numbers from 0 to ${String(OSC_INPUTS - 1)}`;
  }
  const inputs: number[] = [];
  const raws: number[] = [];
  for (let i = 2; i < args.length; i++) {
    const input = first + i - 2;
    const raw = wholeOf(args[i]!);
    if (raw !== undefined && raw > full) return { seat, input, raw, full };
    if (raw === undefined || raw < 0) {
      return `seat "${seat}", input ${String(input)}: ${shown(args[i]!)} is no whole number from 0 to its full scale ${String(full)}`;
    }
    inputs.push(input);
    raws.push(raw);
  }
  return { seat, inputs, raws };
}

const NO_SEAT = 'there is no seat named ';

/** What is wrong with a reading that its seat cannot have. */
export function overWords({ seat, input, raw, full }: OverScale): string {
  return `seat "${seat}", input ${String(input)}: ${String(raw)} is above its full scale ${String(full)}`;
}

/** What is wrong with a message of a seat that is not here. */
export function noSeat(seat: string): string {
  return `${NO_SEAT}"${seat}" here`;
}

/** Whether that is what is wrong, in the words of `PadsDecoded`. */
export function isStranger(fault: string): boolean {
  return fault.startsWith(NO_SEAT, fault.startsWith('/') ? fault.indexOf(': ') + 2 : 0);
}

/** A string argument's text. */
export function textOf(arg: OscArg | readonly OscArg[]): string | undefined {
  if (!('type' in arg) || (arg.type !== 's' && arg.type !== 'S')) return undefined;
  return arg.value as string;
}

/** A numeric argument's value where it is a whole number. */
export function wholeOf(arg: OscArg | readonly OscArg[]): number | undefined {
  if (!('type' in arg) || (arg.type !== 'i' && arg.type !== 'f' && arg.type !== 'd')) {
    return undefined;
  }
  return Number.isInteger(arg.value) ? (arg.value as number) + 0 : undefined;
}

function shown(arg: OscArg | readonly OscArg[]): string {
  return 'type' in arg ? `${String(arg.value)} (${arg.type})` : 'a list';
}

/**
 * Raw pads as one OSC packet: `/pad` for one input, else `/pads`, whose inputs follow one another.
 *
 * @throws RangeError where they do not, some have no value, or a value is no 32-bit integer
 */
export function encodePads({ seat, inputs, raws }: SeatReading): Uint8Array {
  const first = inputs[0];
  if (first === undefined || inputs.some((input, i) => input !== first + i)) {
    throw new RangeError(`/pads carries inputs that follow one another, not ${inputs.join(', ')}`);
  }
  if (raws.length !== inputs.length) {
    throw new RangeError(`${String(inputs.length)} inputs have ${String(raws.length)} raw values`);
  }
  const values = [first, ...raws].map((value) => ({ type: 'i', value }));
  return encodeOsc({
    address: inputs.length === 1 ? '/pad' : '/pads',
    args: [{ type: 's', value: seat }, ...values],
  });
}
