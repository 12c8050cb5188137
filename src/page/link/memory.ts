import { NO_NOTE, type SeatSize, type Slice } from './frames.js';
import { VOICE_BYTES } from './voice-record.js';

/*
 * Memory that the playing thread writes and the page thread reads, without either waiting for the
 * other. The playing thread only ever appends: a row of levels a scan to a ring of each seat, a record
 * a voice event to one ring for the room. A reader that is too slow finds that rows were lost, and how
 * many; it never holds up a touch.
 *
 * Each seat has memory of its own, so that seats come, go and get other instruments while the memory of
 * the others stays what it is.
 */

/** The memory of one seat with the pads and strings that it has. */
export interface SeatMemory {
  readonly slice: Slice;
  /** All of it, to hand to the page thread. */
  readonly buffer: SharedArrayBuffer;
}

/** Where the parts of one seat lie. */
export interface SeatParts {
  readonly pads: number;
  readonly strings: number;
  /** A power of two. Row number n lies in slot n % rows. */
  readonly rows: number;
  /** [0]: how many rows were written, modulo 2³²; [1]: how many notes have begun, likewise. */
  readonly heads: Int32Array;
  /** By pad: twice how many touches have begun, and 1 more while it is touched. */
  readonly touches: Int32Array;
  /** By string: MIDI note that sounds (255: none), and 256 times the strength of its last note (255 is 1). */
  readonly notes: Int32Array;
  /** By slot, in µs. */
  readonly times: Float64Array;
  /** Slot by slot, pad by pad. */
  readonly levels: Float32Array;
  /** By pad: the level at which a touch begins, and the one under which it may end. */
  readonly on: Float32Array;
  readonly off: Float32Array;
}

/** Where the parts of the room's voices lie. */
export interface VoiceParts {
  /** [0]: how many voice records were written, modulo 2³². */
  readonly head: Int32Array;
  /** Record number n lies at `VOICE_BYTES * (n % VOICES)`. */
  readonly ring: Uint8Array;
}

/** Records in the ring of voices; a power of two. */
export const VOICES = 2_048;
/** Rows in the ring of a seat: 4 s at 250 scans a second. A power of two. */
const MOST_ROWS = 1_024;
const LEAST_ROWS = 64;
/** The levels of one seat take no more than this, in bytes. */
const SEAT_BYTES = 1_048_576;

/**
 * So many of the oldest rows count as overwritten already: one is being written, and a processor may
 * show the writes of the next few before the count that comes between them (it holds some tens back).
 */
export const GUARD = 8;

/** Makes memory for a seat, all zero but for its strings, on which no note sounds. */
export function seatMemory(slice: Slice): SeatMemory {
  const buffer = new SharedArrayBuffer(layOutSeat(slice, null).bytes);
  layOutSeat(slice, buffer).parts.notes.fill(NO_NOTE);
  return { slice, buffer };
}

/** The parts of a seat's memory, the same in every thread. */
export function seatParts({ slice, buffer }: SeatMemory): SeatParts {
  return layOutSeat(slice, buffer).parts;
}

/** Makes memory for the voices of a room. */
export function voiceMemory(): SharedArrayBuffer {
  return new SharedArrayBuffer(8 + VOICES * VOICE_BYTES);
}

/** The parts of the memory of a room's voices, the same in every thread. */
export function voiceParts(buffer: SharedArrayBuffer): VoiceParts {
  return {
    head: new Int32Array(buffer, 0, 1),
    ring: new Uint8Array(buffer, 8, VOICES * VOICE_BYTES),
  };
}

/** How many rows a seat's ring has. */
function rowsOf({ pads }: SeatSize): number {
  let rows = MOST_ROWS;
  while (rows > LEAST_ROWS && rows * pads * 4 > SEAT_BYTES) rows /= 2;
  return rows;
}

/** @param buffer null: only to find how many bytes it takes */
function layOutSeat(
  size: SeatSize,
  buffer: SharedArrayBuffer | null,
): { readonly bytes: number; readonly parts: SeatParts } {
  const { pads, strings } = size;
  const rows = rowsOf(size);
  let at = 0;
  /** Every part begins at a multiple of 8, as the widest of them needs. */
  function part<View>(
    View: { readonly BYTES_PER_ELEMENT: number } & (new (
      buffer: SharedArrayBuffer,
      at: number,
      count: number,
    ) => View),
    count: number,
  ): View {
    const start = at;
    at += Math.ceil((count * View.BYTES_PER_ELEMENT) / 8) * 8;
    return new View(buffer ?? EMPTY, buffer ? start : 0, buffer ? count : 0);
  }
  const parts: SeatParts = {
    pads,
    strings,
    rows,
    heads: part(Int32Array, 2),
    touches: part(Int32Array, pads),
    notes: part(Int32Array, strings),
    times: part(Float64Array, rows),
    levels: part(Float32Array, rows * pads),
    on: part(Float32Array, pads),
    off: part(Float32Array, pads),
  };
  return { bytes: at, parts };
}

const EMPTY = new SharedArrayBuffer(0);
