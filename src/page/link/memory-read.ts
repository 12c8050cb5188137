import {
  GUARD,
  seatParts,
  voiceParts,
  VOICES,
  type SeatMemory,
  type SeatParts,
  type VoiceParts,
} from './memory.js';
import { VOICE_BYTES } from './voice-record.js';

/** Rows that were read. The arrays are the reader's own, and are filled again by its next reading. */
export interface Rows {
  readonly count: number;
  /** How many rows before these were overwritten before they were read. */
  readonly lost: number;
  /** By row, in µs. */
  readonly times: Float64Array;
  /** Row by row, pad by pad. */
  readonly levels: Float32Array;
}

/** Which of what was written since `next` can still be read, as numbers modulo 2³². */
function readable(head: number, next: number, length: number): { count: number; lost: number } {
  const written = (head - next) >>> 0;
  const count = Math.min(written, length - GUARD);
  return { count, lost: written - count };
}

/** Reads the rows of one seat as they come; of those written before it was made, none. */
export class RowsReader {
  readonly #seat: SeatParts;
  readonly #times: Float64Array;
  readonly #levels: Float32Array;
  #next: number;

  constructor(memory: SeatMemory) {
    this.#seat = seatParts(memory);
    const { rows, pads, heads } = this.#seat;
    this.#times = new Float64Array(rows);
    this.#levels = new Float32Array(rows * pads);
    this.#next = Atomics.load(heads, 0);
  }

  /** All that came since the last reading. */
  read(): Rows {
    const { heads, rows, pads, times, levels } = this.#seat;
    const head = Atomics.load(heads, 0);
    const { count, lost } = readable(head, this.#next, rows);
    const first = head - count;
    for (let i = 0; i < count; i++) {
      const slot = (first + i) & (rows - 1);
      this.#times[i] = times[slot]!;
      const from = slot * pads;
      for (let pad = 0; pad < pads; pad++) this.#levels[i * pads + pad] = levels[from + pad]!;
    }
    // Meanwhile more may have come, over the oldest of these.
    const after = Atomics.load(heads, 0);
    const over = Math.min(count, Math.max(0, ((after - first) >>> 0) - (rows - GUARD)));
    if (over > 0) {
      this.#times.copyWithin(0, over, count);
      this.#levels.copyWithin(0, over * pads, count * pads);
    }
    this.#next = head;
    const kept = count - over;
    return {
      count: kept,
      lost: lost + over,
      times: this.#times.subarray(0, kept),
      levels: this.#levels.subarray(0, kept * pads),
    };
  }
}

/** Looks at a seat now and then, and forgets nothing that was there in between. */
export class SeatLook {
  readonly #seat: SeatParts;
  readonly #rows: RowsReader;
  readonly #last: Float32Array;
  readonly #seen: Int32Array;

  constructor(memory: SeatMemory) {
    this.#seat = seatParts(memory);
    this.#rows = new RowsReader(memory);
    this.#last = new Float32Array(this.#seat.pads);
    this.#seen = Int32Array.from(this.#seat.touches);
  }

  /** By pad: the highest level since the last time it was asked for, or the one it still has. */
  peaks(into: Float32Array): void {
    const { pads } = this.#seat;
    const { count, levels } = this.#rows.read();
    const last = this.#last;
    for (let pad = 0; pad < pads; pad++) {
      let peak = count > 0 ? -Infinity : last[pad]!;
      for (let at = pad; at < count * pads; at += pads) peak = Math.max(peak, levels[at]!);
      into[pad] = peak;
      if (count > 0) last[pad] = levels[(count - 1) * pads + pad]!;
    }
  }

  /** By pad: 1 where it is touched, or was since this was last asked for. */
  touched(into: Uint8Array): void {
    const { touches, pads } = this.#seat;
    for (let pad = 0; pad < pads; pad++) {
      const now = Atomics.load(touches, pad);
      into[pad] = (now & 1) === 1 || now >> 1 !== this.#seen[pad]! >> 1 ? 1 : 0;
      this.#seen[pad] = now;
    }
  }

  /** The note that sounds on a string; 255: none. */
  note(string: number): number {
    return Atomics.load(this.#seat.notes, string) & 255;
  }

  /** The strength of a string's last note; 255 is 1. */
  strength(string: number): number {
    return (Atomics.load(this.#seat.notes, string) >> 8) & 255;
  }

  /** How many notes have begun, modulo 256. */
  get begun(): number {
    return Atomics.load(this.#seat.heads, 1) & 255;
  }

  /** By pad, the thresholds as they were last. */
  get thresholds(): { readonly on: Float32Array; readonly off: Float32Array } {
    return this.#seat;
  }
}

/** Voice events that were read, as records of `voice-record.ts` one behind the other. */
export interface VoiceRecords {
  readonly count: number;
  /** How many before these were overwritten before they were read. */
  readonly lost: number;
  /** The reader's own, and filled again by its next reading. */
  readonly bytes: Uint8Array;
}

/** Reads the voices of the room as they come; of those from before it was made, none. */
export class VoicesReader {
  readonly #parts: VoiceParts;
  readonly #bytes = new Uint8Array(VOICES * VOICE_BYTES);
  #next: number;

  constructor(memory: SharedArrayBuffer) {
    this.#parts = voiceParts(memory);
    this.#next = Atomics.load(this.#parts.head, 0);
  }

  /** All that came since the last reading. */
  read(): VoiceRecords {
    const { head: written, ring } = this.#parts;
    const head = Atomics.load(written, 0);
    const { count, lost } = readable(head, this.#next, VOICES);
    const first = head - count;
    for (let i = 0; i < count; i++) {
      const at = ((first + i) & (VOICES - 1)) * VOICE_BYTES;
      this.#bytes.set(ring.subarray(at, at + VOICE_BYTES), i * VOICE_BYTES);
    }
    const after = Atomics.load(written, 0);
    const over = Math.min(count, Math.max(0, ((after - first) >>> 0) - (VOICES - GUARD)));
    this.#next = head;
    return {
      count: count - over,
      lost: lost + over,
      bytes: this.#bytes.subarray(over * VOICE_BYTES, count * VOICE_BYTES),
    };
  }
}
