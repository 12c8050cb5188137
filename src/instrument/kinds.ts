/** One string: its open pitch (MIDI note number), its fret pads from the nut on, and its pluck pad. */
export interface StringPads {
  readonly open: number;
  readonly frets: readonly number[];
  readonly pluck: number;
}

/** A kind of instrument played by stopping strings and plucking them. */
export interface StringsInstrument {
  readonly name: string;
  readonly kind: 'strings';
  /** General MIDI program, counted from 1. */
  readonly sound: number;
  readonly strings: readonly StringPads[];
}

/** One touch key: the pitch it sounds (MIDI note number) and its pad. */
export interface KeyPad {
  readonly note: number;
  readonly pad: number;
}

/** Touch keys: each sounds its own pitch for as long as it is held; several at once make chords. */
export interface KeysInstrument {
  readonly name: string;
  readonly kind: 'keys';
  /** General MIDI program, counted from 1. */
  readonly sound: number;
  readonly keys: readonly KeyPad[];
}

/** One row of a fingering chart: what each hole must be for a pitch, in the order of `holes`. */
export interface Fingering {
  /** MIDI note number. */
  readonly note: number;
  readonly holes: readonly ('closed' | 'open' | 'either')[];
}

/** A pipe: which holes are closed sets the pitch; a mouth pad, or the first finger, sounds it. */
export interface HolesInstrument {
  readonly name: string;
  readonly kind: 'holes';
  /** General MIDI program, counted from 1. */
  readonly sound: number;
  /** The pads of the holes, in the order in which the chart names them. */
  readonly holes: readonly number[];
  /** The pad that is touched to sound it; null: the first finger sounds it. */
  readonly mouth: number | null;
  /** The first row that fits counts. */
  readonly fingerings: readonly Fingering[];
}

/** One drum pad: its General MIDI percussion key (35 to 81) and its pad. */
export interface HitPad {
  readonly drum: number;
  readonly pad: number;
}

/** Drum pads: each touch is a hit, however long it lasts. */
export interface HitsInstrument {
  readonly name: string;
  readonly kind: 'hits';
  /** The drum kit, as a program on the percussion channel, counted from 1. */
  readonly sound: number;
  readonly hits: readonly HitPad[];
}

export type Instrument = StringsInstrument | KeysInstrument | HolesInstrument | HitsInstrument;
export type Kind = Instrument['kind'];

/** A share of pad `from`'s raw change that also shows on the pad that lists it (0.08 is 8 %). */
export interface Coupling {
  readonly from: number;
  readonly share: number;
}

/** How one pad of one unit reads, in raw counts. */
export interface PadBuild {
  /** The mean reading with nobody touching. */
  readonly rest: number;
  /** The change from rest to a full touch; below 0 where a touch lowers the reading. */
  readonly span: number;
  /** Peak to peak at rest. */
  readonly noise: number;
  readonly coupling: readonly Coupling[];
}

/** One physical unit. */
export interface Build {
  /** `wiring[input]` is the pad on that input; null where nothing is connected. */
  readonly wiring: readonly (number | null)[];
  /** By pad number; null for a pad that was not calibrated. */
  readonly pads: readonly (PadBuild | null)[];
}
