import type { SoundEvent, VoiceOn } from '../../room/voice.js';
import type { Micros } from '../../time/micros.js';
import { NO_NOTE } from './frames.js';
import { partsOf, VOICES, type MemoryParts, type PageMemory, type SeatParts } from './memory.js';
import { VOICE_BYTES, writeVoice } from './voice-record.js';

/**
 * The playing thread's end of the memory. Nothing here waits or allocates. What lies beyond the sizes
 * that the memory was made for is passed over.
 */
export class MemoryWriter {
  readonly #parts: MemoryParts;
  readonly #view: DataView;

  constructor(memory: PageMemory) {
    this.#parts = partsOf(memory);
    const { voices } = this.#parts;
    this.#view = new DataView(voices.buffer, voices.byteOffset, voices.byteLength);
  }

  /** The parts of a seat, to write its thresholds to. */
  seat(seat: number): SeatParts {
    return this.#parts.seats[seat]!;
  }

  /** @param levels by pad */
  row(seat: number, t: Micros, levels: Float32Array): void {
    const { heads, rows, pads, times, levels: ring } = this.#parts.seats[seat]!;
    const head = Atomics.load(heads, 0);
    const slot = head & (rows - 1);
    times[slot] = t;
    const at = slot * pads;
    for (let pad = 0; pad < pads; pad++) ring[at + pad] = levels[pad]!;
    // Only now may readers see it.
    Atomics.store(heads, 0, head + 1);
  }

  onset(seat: number, pad: number): void {
    const { touches, pads } = this.#parts.seats[seat]!;
    if (pad < pads) Atomics.store(touches, pad, ((Atomics.load(touches, pad) | 1) + 2) | 0);
  }

  lift(seat: number, pad: number): void {
    const { touches, pads } = this.#parts.seats[seat]!;
    if (pad < pads) Atomics.and(touches, pad, ~1);
  }

  /** No pad is touched. */
  lifted(seat: number): void {
    const { pads } = this.#parts.seats[seat]!;
    for (let pad = 0; pad < pads; pad++) this.lift(seat, pad);
  }

  /** What sounds on each string, from a voice event. */
  sounds(event: SoundEvent): void {
    if (event.type === 'on') this.#begins(event);
    else if (event.type === 'off') this.#ends(event.seat, event.string);
    else if (event.type === 'silence') {
      this.#parts.seats.forEach(({ strings }, seat) => {
        for (let string = 0; string < strings; string++) this.#ends(seat, string);
      });
    }
  }

  /** Appends a voice event. */
  voice(event: SoundEvent): void {
    const { voiceHead } = this.#parts;
    const head = Atomics.load(voiceHead, 0);
    writeVoice(this.#view, (head & (VOICES - 1)) * VOICE_BYTES, event);
    Atomics.store(voiceHead, 0, head + 1);
  }

  #begins({ seat, string, note, strength }: VoiceOn): void {
    const parts = this.#parts.seats[seat];
    if (!parts) return;
    Atomics.add(parts.heads, 1, 1);
    if (string >= parts.strings) return;
    const share = Math.round(255 * Math.min(1, Math.max(0, strength)));
    Atomics.store(parts.notes, string, (share << 8) | note);
  }

  #ends(seat: number, string: number): void {
    const parts = this.#parts.seats[seat];
    if (parts && string < parts.strings) Atomics.or(parts.notes, string, NO_NOTE);
  }
}
