/*
 * Binary frames from the service to its pages, little-endian; the first byte says which.
 *
 * 1, levels, some tens of times a second (fewer with many pages):
 *   u8 1 · u8 0 · u16 sequence · f64 time in µs · then for each seat, in the order of the room file:
 *     for each pad, u8: the highest level since the last frame, 200 is a full touch, 255 the most;
 *     for each 8 pads, u8: one bit a pad, least first: whether it is touched, or was since the last frame;
 *     for each string, u8 note that sounds (255: none) · u8 strength of its last note, 255 is 1;
 *     u8: how many notes have begun, modulo 256, to see those that were over between two frames.
 *
 * 2, history of the watched seat, every reading:
 *   u8 2 · u8 seat · u16 rows · u32 rows lost before these · then for each pad f32 threshold where a
 *   touch begins · f32 where it may end (levels) · then rows: f64 time in µs · for each pad f32 level.
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
