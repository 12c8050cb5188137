/** What a voice begins with. */
export interface Stroke {
  readonly voice: number;
  readonly seat: number;
  /** Which string, key or drum pad of the seat. */
  readonly string: number;
  /** MIDI note number, 0 to 127. */
  readonly note: number;
  /** 0 to 1. */
  readonly strength: number;
  /** The amplitude by velocity, 0.001 to 1. */
  readonly level: number;
  /** General MIDI program or drum kit, counted from 1. */
  readonly sound: number;
  readonly seed: number;
}

/**
 * What swings inside a voice: a string, a bar, a pipe, a drum. A voice gives it its onset, its level and
 * its end. Nothing here allocates after the constructor.
 */
export interface Source {
  /** Seconds in which the note just begun swells to its full level. */
  readonly rise: number;
  /** Seconds in which it falls by 60 dB once it is let go of; Infinity: it goes on to its own end. */
  readonly release: number;
  /** Something is still to come although it may be silent for a moment. */
  readonly pending: boolean;
  /** Begins again, in the middle of nothing. */
  begin(stroke: Stroke): void;
  /** Carries the sound on at another pitch without a new attack; only on kinds that can. */
  slur(note: number): void;
  /** Overwrites the first `count` samples (at most QUANTUM) of `out`; a note soft or hard is about as loud as RMS 1. */
  render(out: Float64Array, count: number): void;
  /** After each quantum: may put aside what no one hears any more. */
  quantum(): void;
}
