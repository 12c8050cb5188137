import type { Source } from './contracts.js';

/** The units that are played by finger or mouse on the page: one source for all their seats. */
export interface ScreenSource extends Source {
  /**
   * A finger is laid on a pad, or presses otherwise than before. Does nothing where the seat is none
   * of these, has no such pad, or is pulled out.
   *
   * @param strength 0 to 1: how firm it is
   */
  press(seat: number, pad: number, strength: number): void;
  /** The finger leaves the pad again; does nothing where none is there. */
  release(seat: number, pad: number): void;
  /** Pulls the unit out, as if its cable had come off, or plugs it in again. */
  plug(seat: number, plugged: boolean): void;
}

/** The one among a room's sources that is played on the page, if the room has such seats. */
export function screenOf(sources: readonly Source[]): ScreenSource | null {
  return sources.find((source): source is ScreenSource => 'press' in source) ?? null;
}
