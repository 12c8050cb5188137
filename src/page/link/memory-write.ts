import type { SoundEvent, VoiceOff, VoiceOn } from '../../room/voice.js';
import type { Micros } from '../../time/micros.js';
import { NO_NOTE } from './frames.js';
import {
  seatParts,
  voiceParts,
  VOICES,
  type SeatMemory,
  type SeatParts,
  type VoiceParts,
} from './memory.js';
import { VOICE_BYTES, writeVoice } from './voice-record.js';

/**
 * The playing thread's end of a seat's memory. Nothing here waits or allocates. What lies beyond the size
 * that the memory was made for is passed over.
 */
export class SeatWriter {
  readonly parts: SeatParts;

  constructor(memory: SeatMemory) {
    this.parts = seatParts(memory);
  }

  /** @param levels by pad */
  row(t: Micros, levels: Float32Array): void {
    const { heads, rows, pads, times, levels: ring } = this.parts;
    const head = Atomics.load(heads, 0);
    const slot = head & (rows - 1);
    times[slot] = t;
    const at = slot * pads;
    for (let pad = 0; pad < pads; pad++) ring[at + pad] = levels[pad]!;
    // Only now may readers see it.
    Atomics.store(heads, 0, head + 1);
  }

  onset(pad: number): void {
    const { touches, pads } = this.parts;
    if (pad < pads) Atomics.store(touches, pad, ((Atomics.load(touches, pad) | 1) + 2) | 0);
  }

  lift(pad: number): void {
    const { touches, pads } = this.parts;
    if (pad < pads) Atomics.and(touches, pad, ~1);
  }

  /** No pad is touched. */
  lifted(): void {
    for (let pad = 0; pad < this.parts.pads; pad++) this.lift(pad);
  }

  /** A note begins on its string. */
  begins({ string, note, strength }: Pick<VoiceOn, 'string' | 'note' | 'strength'>): void {
    const { heads, notes, strings } = this.parts;
    Atomics.add(heads, 1, 1);
    if (string >= strings) return;
    const share = Math.round(255 * Math.min(1, Math.max(0, strength)));
    Atomics.store(notes, string, (share << 8) | note);
  }

  /** The note of a string ends. */
  ends({ string }: Pick<VoiceOff, 'string'>): void {
    const { notes, strings } = this.parts;
    if (string < strings) Atomics.or(notes, string, NO_NOTE);
  }

  /** No string sounds. */
  silenced(): void {
    for (let string = 0; string < this.parts.strings; string++) this.ends({ string });
  }
}

/** The playing thread's end of the memory of the room's voices. */
export class VoicesWriter {
  readonly #parts: VoiceParts;
  readonly #view: DataView;

  constructor(memory: SharedArrayBuffer) {
    this.#parts = voiceParts(memory);
    const { ring } = this.#parts;
    this.#view = new DataView(ring.buffer, ring.byteOffset, ring.byteLength);
  }

  /** Appends a voice event. */
  voice(event: SoundEvent): void {
    const { head: written } = this.#parts;
    const head = Atomics.load(written, 0);
    writeVoice(this.#view, (head & (VOICES - 1)) * VOICE_BYTES, event);
    Atomics.store(written, 0, head + 1);
  }
}
