import type { Build } from '../../instrument/types.js';
import type { Ask } from '../link/asks.js';

/**
 * What the main thread does for pages: everything that must reach the playing room. All else (the
 * network, files, guides, verdicts, recording) is the page thread's, so that it never holds up a touch.
 */
export type Order =
  | Extract<
      Ask,
      {
        ask:
          | 'seat'
          | 'room'
          | 'silence'
          | 'engine'
          | 'press'
          | 'release'
          | 'plug'
          | 'rules'
          | 'try'
          | 'undo-tried'
          | 'keep';
      }
    >
  /** Whether anybody looks: levels and voices are written to the shared memory only then. */
  | { readonly ask: 'look'; readonly on: boolean }
  /** Sends the raw readings of these seats on, in batches. */
  | { readonly ask: 'readings'; readonly seats: readonly number[] }
  /** A seat's unit has another build now: written to `file`, and in effect at once. */
  | {
      readonly ask: 'build';
      readonly seat: number;
      readonly build: Build;
      readonly name: string;
    }
  /** Mutes a seat beside its own mute while it is wired or calibrated. */
  | { readonly ask: 'hold'; readonly seat: number; readonly on: boolean };
