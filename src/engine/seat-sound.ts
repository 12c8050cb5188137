/** What an engine needs to know of a seat, in the order of the room file. */
export interface SeatSound {
  readonly name: string;
  /** General MIDI program, counted from 1. */
  readonly sound: number;
  /** 0 to 1, applied to the amplitude. */
  readonly level: number;
  /** How many strings its instrument has. */
  readonly strings: number;
}
