import type { Loudness } from '../../engine/builtin/output.js';
import type { Ceiling } from '../../instrument/ceiling.js';
import type { SeatSound, VoiceEvent } from '../../room/voice.js';
import type { Micros } from '../../time/micros.js';
import type { Notice } from '../contracts.js';

/** What the worker is started with. */
export interface WorkerOptions {
  /** By slot; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  readonly seed: number;
  /** Frames a second. */
  readonly sampleRate: number;
  /** A SoundFont's path; null: the own voices. */
  readonly soundfont: string | null;
  /** What the output keeps to. */
  readonly ceiling: Ceiling;
}

export interface WorkerData extends WorkerOptions {
  /** Its one element becomes 1 once the worker has let go of the card; shared memory. */
  readonly left: Int32Array;
}

/** From the engine to its worker. */
export type ToWorker =
  | {
      readonly type: 'event';
      readonly event: VoiceEvent;
      /** When it was sent, as `monotonic` counts in both threads. */
      readonly at: Micros;
    }
  | { readonly type: 'close' };

/** From the worker to the engine. */
export type FromWorker =
  | { readonly type: 'notice'; readonly notice: Notice }
  | { readonly type: 'loudness'; readonly loudness: Loudness };

/** Microseconds on the machine's monotonic clock, which all threads of a process share. */
export function monotonic(): Micros {
  const [seconds, nanos] = process.hrtime();
  return seconds * 1_000_000 + Math.round(nanos / 1_000);
}
