/*
 * Binary frames from the service to its pages, little-endian; the first byte says which.
 *
 * What a seat's pads and strings take of the frames is its slice. Each slice has a number that never
 * comes again: a seat gets another slice when it gets an instrument with other pads, and so does
 * another seat in its place. The slices that there are make up the layout, which has a number too; a
 * page is told of a layout (as text) before the first frame that is laid out by it.
 *
 * 1, levels, some tens of times a second (fewer with many pages):
 *   u8 1 · u8 0 · u16 sequence · u32 layout · f64 time in µs · then for each slice, in their order:
 *     for each pad, u8: the highest level since the last frame, 200 is a full touch, 255 the most;
 *     for each 8 pads, u8: one bit a pad, least first: whether it is touched, or was since the last frame;
 *     for each string, u8 note that sounds (255: none) · u8 strength of its last note, 255 is 1;
 *     u8: how many notes have begun, modulo 256, to see those that were over between two frames.
 *
 * 2, history of the watched seat, every reading:
 *   u8 2 · u8 0 · u16 rows · u32 rows lost before these · u32 slice · then for each pad f32 threshold where
 *   a touch begins · f32 where it may end (levels) · then rows: f64 time in µs · for each pad f32 level.
 *
 * 3, voices, as they happen, for pages that sound them:
 *   u8 3 · u8 1 where some were lost before these (end all that sounds) · u16 count ·
 *   u32 0 · f64 service's time now in µs · then records of `voice-record.ts`.
 */

export const FRAME = { levels: 1, history: 2, voices: 3 } as const;

/** A level's byte at a full touch. */
export const FULL_TOUCH = 200;
/** No note sounds on a string. */
export const NO_NOTE = 255;

/** How much of a frame each seat takes. */
export interface SeatSize {
  readonly pads: number;
  readonly strings: number;
}

/** One seat's part of the frames. */
export interface Slice extends SeatSize {
  /** Names it; never comes again. */
  readonly slice: number;
}

/** How levels frames are laid out. */
export interface Layout {
  /** Another one whenever the slices are others. */
  readonly layout: number;
  /** In their order in a frame. */
  readonly slices: readonly Slice[];
}
