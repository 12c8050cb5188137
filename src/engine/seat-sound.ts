import type { Instrument, Seat } from '../instrument/types.js';
import type { SeatSound } from '../room/voice.js';

export type { SeatSound };

/** What an engine needs to know of a seat that plays `instrument`. */
export function soundOf(
  { name, level, pan, sound }: Pick<Seat, 'name' | 'level' | 'pan' | 'sound'>,
  instrument: Instrument,
): SeatSound {
  const strings = instrument.kind === 'strings' ? instrument.strings.length : 1;
  const { kind } = instrument;
  return { name, kind, sound: sound ?? instrument.sound, level, pan, strings };
}
