import { FRAME, NO_NOTE, type SeatSize } from './frames.js';

/** One seat's part of a levels frame, filled anew by each. */
export interface SeatLevelsFrame {
  /** By pad: 0 to 255, 200 is a full touch. */
  readonly pads: Uint8Array;
  /** By pad: 1 where it is touched, or was since the last frame. */
  readonly touched: Uint8Array;
  /** By string: the MIDI note that sounds; 255: none. */
  readonly notes: Uint8Array;
  /** By string: the strength of its last note, 255 is 1. */
  readonly strengths: Uint8Array;
  /** How many notes have begun, modulo 256. */
  begun: number;
}

/** What a levels frame says (see `frames.ts`). */
export interface LevelsFrame {
  /** Counts frames up, also those that were left out for this page; 0 before the first. */
  frame: number;
  /** In µs, by the service's clock. */
  t: number;
  /** In the order of the room file. */
  readonly seats: readonly SeatLevelsFrame[];
}

const HEAD = 12;
const SEQUENCE = 0x1_0000;

/** Levels before anything was heard: nothing is touched, nothing sounds. */
export function emptyLevels(sizes: readonly SeatSize[]): LevelsFrame {
  const seats = sizes.map(({ pads, strings }) => ({
    pads: new Uint8Array(pads),
    touched: new Uint8Array(pads),
    notes: new Uint8Array(strings).fill(NO_NOTE),
    strengths: new Uint8Array(strings),
    begun: 0,
  }));
  return { frame: 0, t: 0, seats };
}

function bytesOf({ seats }: LevelsFrame): number {
  return seats.reduce(
    (sum, { pads, notes }) => sum + pads.length + ((pads.length + 7) >> 3) + 2 * notes.length + 1,
    HEAD,
  );
}

/** Writes a frame, in memory of its own. */
export function encodeLevels(levels: LevelsFrame): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(bytesOf(levels));
  const view = new DataView(bytes.buffer);
  bytes[0] = FRAME.levels;
  view.setUint16(2, levels.frame % SEQUENCE, true);
  view.setFloat64(4, levels.t, true);
  let at = HEAD;
  for (const { pads, touched, notes, strengths, begun } of levels.seats) {
    bytes.set(pads, at);
    at += pads.length;
    for (let pad = 0; pad < pads.length; pad++) {
      if (touched[pad] !== 0) bytes[at + (pad >> 3)]! |= 1 << (pad & 7);
    }
    at += (pads.length + 7) >> 3;
    for (let string = 0; string < notes.length; string++) {
      bytes[at++] = notes[string]!;
      bytes[at++] = strengths[string]!;
    }
    bytes[at++] = begun;
  }
  return bytes;
}

/**
 * Reads a frame.
 *
 * @param into made by `emptyLevels` for the same seats; left as it is where the frame does not fit it
 * @returns whether it was a levels frame of these seats
 */
export function decodeLevels(bytes: Uint8Array, into: LevelsFrame): boolean {
  if (bytes[0] !== FRAME.levels || bytes.length !== bytesOf(into)) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const ahead = (view.getUint16(2, true) - (into.frame % SEQUENCE) + SEQUENCE) % SEQUENCE;
  into.frame += ahead === 0 ? SEQUENCE : ahead;
  into.t = view.getFloat64(4, true);
  let at = HEAD;
  for (const seat of into.seats) {
    const { pads, touched, notes, strengths } = seat;
    pads.set(bytes.subarray(at, at + pads.length));
    at += pads.length;
    for (let pad = 0; pad < pads.length; pad++) {
      touched[pad] = (bytes[at + (pad >> 3)]! >> (pad & 7)) & 1;
    }
    at += (pads.length + 7) >> 3;
    for (let string = 0; string < notes.length; string++) {
      notes[string] = bytes[at++]!;
      strengths[string] = bytes[at++]!;
    }
    seat.begun = bytes[at++]!;
  }
  return true;
}
