import type { Loudness } from '../../../engine/builtin/output.js';
import type { SeatSound } from '../../../engine/seat-sound.js';
import type { Ceiling } from '../../../instrument/ceiling.js';
import type { VoiceEvent } from '../../../room/voice.js';

/** The name under which the renderer is registered in an AudioWorklet. */
export const PROCESSOR = 'pluckwork-speaker';

/** From the page to its renderer. Frames count as the AudioContext's do: its `currentTime` × its rate. */
export type ToRenderer =
  /** Makes the voices of these seats; what sounded ends. */
  | {
      readonly type: 'begin';
      /** By slot; null where nobody plays. */
      readonly seats: readonly (SeatSound | null)[];
      readonly seed: number;
      readonly ceiling: Ceiling;
      /** After so many seconds without `alive` the page is stuck or gone, and what sounds ends. */
      readonly patience: number;
    }
  /** Has each event sound at its frame; one that is past already sounds at once. */
  | {
      readonly type: 'events';
      readonly events: readonly VoiceEvent[];
      readonly frames: readonly number[];
    }
  /** Ends all that sounds and drops what waits, with the next block. */
  | { readonly type: 'silence' }
  /** The page is alive; `told` is the answer. */
  | { readonly type: 'alive' }
  /** To a worker only: fill these with the samples from a frame on. They come back as `rendered`. */
  | ({ readonly type: 'render' } & Block);

/** From the renderer to its page. */
export type FromRenderer =
  /** It sounds from now on; sent once after each `begin`. */
  | { readonly type: 'ready' }
  | {
      readonly type: 'told';
      readonly loudness: Loudness;
      /** By how many frames events came too late at most, since this was last told. */
      readonly late: number;
    }
  /** Rendering failed; it began again, or stays silent where `final`. */
  | { readonly type: 'fault'; readonly why: string; readonly final: boolean }
  /** More events waited than it holds: all were dropped, and what sounded has ended. */
  | { readonly type: 'overflow' }
  | ({ readonly type: 'rendered' } & Block);

/** Samples of both channels, of one length, from a frame of the AudioContext on. */
export interface Block {
  readonly frame: number;
  readonly left: Float32Array<ArrayBuffer>;
  readonly right: Float32Array<ArrayBuffer>;
}
