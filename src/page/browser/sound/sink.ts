import type { SeatSound } from '../../../engine/seat-sound.js';
import type { VoiceEvent } from '../../../room/voice.js';

/** Where voices go to be sounded: what `Live` and `Listing` know of the device. */
export interface Sink {
  /** Frames a second. */
  readonly sampleRate: number;
  /** The AudioContext's time, in ms. It steps, and is behind by up to a step. */
  time(): number;
  /** The page's monotonic time, in ms. */
  now(): number;
  /** How far ahead of `time` the device renders, in ms. */
  ahead(): number;
  /** From `time` until it leaves the device, in ms. */
  outputDelay(): number;
  /** By slot, the seats that it has voices for; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  /** Makes voices for these seats; what sounds ends. */
  begin(seats: readonly (SeatSound | null)[]): void;
  /** Has each event sound at its frame of the context; seats that join or leave cost the others nothing. */
  send(events: readonly VoiceEvent[], frames: readonly number[]): void;
  /** Ends what sounds, and drops what waits. */
  silence(): void;
}
