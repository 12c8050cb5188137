import type { SeatSize } from './frames.js';

/**
 * Memory that the playing thread writes and the page thread reads, without either waiting for the
 * other. The playing thread only ever appends: a row of levels a scan to a ring of each seat, a record
 * a voice event to one ring for the room. A reader that is too slow finds that rows were lost, and how
 * many; it never holds up a touch.
 */
export interface PageMemory {
  readonly sizes: readonly SeatSize[];
  /** All of it, to hand to the page thread. */
  readonly buffer: SharedArrayBuffer;
}
