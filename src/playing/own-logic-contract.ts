/*
 * What a module of your own and pluckwork say to each other. This file stands alone: put a copy beside
 * your module, and your editor checks what you write. It is not needed for playing.
 *
 * All times are whole microseconds: 250_000 is a quarter of a second. Pitches are MIDI note numbers:
 * 60 is C4. Strings, and whatever counts as one, are numbered from 0 in the order of the instrument file.
 */

import type { Rules as AllRules } from '../instrument/types.js';

/** What the instrument is, and the settings of the rules file. The same for every call until they change. */
export interface Setup {
  readonly instrument: Instrument;
  readonly rules: Rules;
  /** What can sound: each string, key or drum pad, and a pipe as one. Each sounds one note at a time. */
  readonly strings: readonly Sounding[];
  /** What each pad is for, by its number; null where the instrument has no such pad. */
  readonly pads: readonly (Pad | null)[];
}

export interface Sounding {
  /** Such as `G2`, `C4`, `pipe` or `snare drum`. */
  readonly name: string;
  /** Its pitch: an open string's, a key's; a drum's percussion key; a pipe's lowest. */
  readonly note: number;
  /** How many frets it has. */
  readonly frets: number;
}

export interface Pad {
  /** Such as `G2 fret 2`, `G2 pluck`, `C4`, `hole 3`, `mouth` or `snare drum`. */
  readonly name: string;
  readonly part: 'fret' | 'pluck' | 'key' | 'hole' | 'mouth' | 'drum';
  readonly string: number;
  /** 1 for the fret next to the nut; 0 for all that is no fret. */
  readonly fret: number;
  /** The pitch that it stands for; null for a hole and a mouth. */
  readonly note: number | null;
}

/** What your step is told. `t` never falls. */
export type LogicEvent =
  /** A finger has come onto a pad. */
  | { readonly type: 'onset'; readonly t: number; readonly pad: number }
  /** How hard that was, from 0 to 1: some milliseconds after the onset, and not for a mere flicker. */
  | {
      readonly type: 'strike';
      readonly t: number;
      readonly pad: number;
      readonly strength: number;
      /** When the touch began. */
      readonly onset: number;
    }
  /** The finger seems to be going: a lift follows, or a `firm` if it was only a bounce. */
  | { readonly type: 'loose'; readonly t: number; readonly pad: number }
  | { readonly type: 'firm'; readonly t: number; readonly pad: number }
  /** The finger has left the pad. */
  | { readonly type: 'lift'; readonly t: number; readonly pad: number }
  /** The time that you asked for has come. */
  | { readonly type: 'wake'; readonly t: number };

/** What your step puts out; it sounds at the time of the event. */
export type NoteOut =
  | {
      readonly type: 'on';
      readonly string: number;
      /** 0 to 127. */
      readonly note: number;
      /** 0 to 1; how loud that is, the rules say under `velocity`. */
      readonly strength: number;
      /** Only shown to people; 0, an open string, where it is left out. */
      readonly fret?: number;
      /** True: carries on the note that sounds on the string, without a new attack. */
      readonly slur?: boolean;
    }
  /** Ends what sounds on the string. A further `on` of the string ends it too. */
  | { readonly type: 'off'; readonly string: number };

export interface Answer<State> {
  /** What you want to be handed with the next event. It may be the same object, changed. */
  readonly state: State;
  /** In the order in which it is to sound; left out: nothing. */
  readonly out?: readonly NoteOut[];
  /**
   * When to be woken, later than the event's `t`; left out or null: not at all. It counts until the next
   * answer, which must ask again. At most a thousand times a second.
   */
  readonly wake?: number | null;
}

/**
 * Called as the seat begins, and again after everything was silenced: then nothing sounds any more and
 * nothing is asked for. Your module exports it under the name `begin`.
 */
export type Begin<State> = (setup: Setup) => State;

/** Called for every event. Your module exports it under the name `step`. */
export type Step<State> = (state: State, event: LogicEvent, setup: Setup) => Answer<State>;

/** As in an instrument file, with numbers for pitches. `sound` is a General MIDI program, from 1. */
export type Instrument = { readonly name: string; readonly sound: number } & (
  | {
      readonly kind: 'strings';
      readonly strings: readonly {
        readonly open: number;
        readonly frets: readonly number[];
        readonly pluck: number;
      }[];
    }
  | { readonly kind: 'keys'; readonly keys: readonly { note: number; pad: number }[] }
  | {
      readonly kind: 'holes';
      readonly holes: readonly number[];
      readonly mouth: number | null;
      readonly fingerings: readonly {
        readonly note: number;
        readonly holes: readonly ('closed' | 'open' | 'either')[];
      }[];
    }
  | { readonly kind: 'hits'; readonly hits: readonly { drum: number; pad: number }[] }
);

/** As in a rules file, with microseconds for times and null for `never`; plain.yaml explains each key. */
export type Rules = Omit<AllRules, 'logic'>;
