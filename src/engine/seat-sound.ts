import type { Instrument, Kind, Seat } from '../instrument/types.js';

/** What an engine needs to know of a seat, in the order of the room file. */
export interface SeatSound {
  readonly name: string;
  readonly kind: Kind;
  /** General MIDI program, or drum kit, counted from 1. */
  readonly sound: number;
  /** 0 to 1, applied to the amplitude; what it is until a `mix` says otherwise. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right; until a `mix` says otherwise. */
  readonly pan: number;
  /** How many strings its instrument has; 1 for all that has none. */
  readonly strings: number;
}

/** What an engine needs to know of a seat that plays `instrument`. */
export function soundOf(
  { name, level, pan, sound }: Pick<Seat, 'name' | 'level' | 'pan' | 'sound'>,
  instrument: Instrument,
): SeatSound {
  const strings = instrument.kind === 'strings' ? instrument.strings.length : 1;
  const { kind } = instrument;
  return { name, kind, sound: sound ?? instrument.sound, level, pan, strings };
}
