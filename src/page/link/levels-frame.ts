import { FRAME, NO_NOTE, type Layout, type Slice } from './frames.js';

/** One seat's part of a levels frame, filled again by each. */
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
  /** The number of the layout that it has. */
  readonly layout: number;
  /** By the number of the slice, in their order in the frame. */
  readonly slices: ReadonlyMap<number, SeatLevelsFrame>;
}

const HEAD = 16;
const SEQUENCE = 0x1_0000;

/** The layout of a room without seats. */
export const NO_LAYOUT: Layout = { layout: 0, slices: [] };

/**
 * Levels of another layout: those of its slices that were there before go on as they are, and of the
 * others nothing is touched and nothing sounds.
 *
 * @param before left out: nothing was heard yet
 */
export function levelsOf({ layout, slices }: Layout, before?: LevelsFrame): LevelsFrame {
  const own = (slice: Slice): SeatLevelsFrame => {
    const known = before?.slices.get(slice.slice);
    // Another service begins to count slices again.
    const fits = known?.pads.length === slice.pads && known.notes.length === slice.strings;
    return fits ? known : atRest(slice);
  };
  return {
    frame: before?.frame ?? 0,
    t: before?.t ?? 0,
    layout,
    slices: new Map(slices.map((slice) => [slice.slice, own(slice)])),
  };
}

function atRest({ pads, strings }: Slice): SeatLevelsFrame {
  return {
    pads: new Uint8Array(pads),
    touched: new Uint8Array(pads),
    notes: new Uint8Array(strings).fill(NO_NOTE),
    strengths: new Uint8Array(strings),
    begun: 0,
  };
}

function bytesOf({ slices }: LevelsFrame): number {
  let bytes = HEAD;
  for (const { pads, notes } of slices.values()) {
    bytes += pads.length + ((pads.length + 7) >> 3) + 2 * notes.length + 1;
  }
  return bytes;
}

/** Writes a frame, in memory of its own. */
export function encodeLevels(levels: LevelsFrame): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(bytesOf(levels));
  const view = new DataView(bytes.buffer);
  bytes[0] = FRAME.levels;
  view.setUint16(2, levels.frame % SEQUENCE, true);
  view.setUint32(4, levels.layout, true);
  view.setFloat64(8, levels.t, true);
  let at = HEAD;
  for (const { pads, touched, notes, strengths, begun } of levels.slices.values()) {
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
 * @param into made by `levelsOf` for the same layout; left as it is where the frame has another one
 * @returns whether it was a levels frame of this layout
 */
export function decodeLevels(bytes: Uint8Array, into: LevelsFrame): boolean {
  if (bytes[0] !== FRAME.levels || bytes.length !== bytesOf(into)) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint32(4, true) !== into.layout) return false;
  const ahead = (view.getUint16(2, true) - (into.frame % SEQUENCE) + SEQUENCE) % SEQUENCE;
  into.frame += ahead === 0 ? SEQUENCE : ahead;
  into.t = view.getFloat64(8, true);
  let at = HEAD;
  for (const seat of into.slices.values()) {
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
