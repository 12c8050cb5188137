import type { Micros } from '../time/micros.js';
import type { Ceiling, MidiCeiling } from './ceiling.js';

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

/** A module of somebody's own. */
export interface OwnCode {
  /** Its file, for messages; in rules that were only parsed, its path as the rules file has it. */
  readonly file: string;
  /** All of it, as one piece of JavaScript; null in rules that were only parsed. */
  readonly code: string | null;
}

/** The playing logic's settings. Keys are those of the rules file; times are in microseconds. */
export interface Rules {
  readonly name: string;
  /** What plays instead of the built-in logic; null: the built-in logic. */
  readonly logic: OwnCode | null;
  readonly touch: {
    /** The level at which a touch begins, and the lower one under which it may end. */
    readonly on: number;
    readonly off: number;
    /** How long a level must stay under `off` before the pad counts as lifted. */
    readonly lift: Micros;
  };
  readonly strength: {
    /** How many more readings of the pad to look at for the peak; 0 takes the first, without waiting. */
    readonly readings: number;
    /** The longest wait for them. */
    readonly within: Micros;
  };
  readonly velocity: {
    /** The velocities of the softest and the hardest touch, 1 to 127. */
    readonly softest: number;
    readonly hardest: number;
    /**
     * A number: velocity = softest + (hardest − softest) · strength^curve. `square`: the velocity at
     * which a synthesizer's amplitude is proportional to the strength, from softest to hardest. A
     * table of [strength, velocity] stands as it is: strengths rise, velocities do not fall.
     */
    readonly curve: number | 'square' | readonly (readonly [number, number])[];
  };
  readonly strings: {
    /** Which of the held frets stops the string. */
    readonly stop: 'highest' | 'lowest' | 'latest';
    readonly 'hammer-on': boolean;
    readonly 'pull-off': boolean;
    readonly slide: boolean;
    /** A slide's old fret lifts at most this long after the new one is pressed. */
    readonly 'slide-overlap': Micros;
    /** A slide's new fret is pressed at most this long after the old one lifts. */
    readonly 'slide-gap': Micros;
    /** How long an open string rings. */
    readonly ring: Micros;
    /** A fret pressed on a ringing open string ends its note. */
    readonly 'damp-by-fret': boolean;
    /** A pluck pad held this long after its pluck ends the note; null: never. */
    readonly 'damp-by-hold': Micros | null;
    /** A fret pressed at most this long after its pluck was meant for it; null: never. */
    readonly 'late-fret': Micros | null;
    /** Whether plucks wait for a late fret: never, always, or while the player is often late. */
    readonly 'wait-for-fret': 'never' | 'often' | 'always';
    /** A fret that no pluck has used yet still counts this long after it let go. */
    readonly 'early-lift': Micros;
    /** A finger that takes longer than this to land on a pluck pad only rests there; null: never. */
    readonly 'resting-thumb': Micros | null;
    /**
     * A weak pluck next to a firm one of the next string waits this long, and was a brush if the
     * finger has gone by then; null: never.
     */
    readonly brush: Micros | null;
    /** How weak: less than this share of the other one's level. */
    readonly 'brush-share': number;
  };
  readonly keys: {
    /** How long a key sounds on after its finger has left. */
    readonly 'ring-on': Micros;
  };
  readonly holes: {
    /** How long the fingers must have come to rest before a fingering counts. */
    readonly settle: Micros;
    /** Whether a touch of the mouth waits for fingers that come right after it as well. */
    readonly 'mouth-waits': boolean;
    /** What a fingering that is not in the chart does to the note that sounds. */
    readonly unknown: 'keep' | 'end';
  };
  readonly hits: {
    /** A pad that was hit is deaf for this long. */
    readonly mask: Micros;
    /** How long a hit sounds, for sounds that go on until they are ended. */
    readonly ring: Micros;
  };
  readonly voices: {
    /** How many notes of one unit sound at once. */
    readonly most: number;
    /** Which of them stay when there are more. */
    readonly keep: 'lowest' | 'highest' | 'latest' | 'loudest';
  };
}

/** How raw pad states travel in MIDI messages. */
export type MidiWire = 'notes' | 'pressure' | 'control' | 'control-14' | 'frames';

/** Where a seat's readings come from. */
export type From =
  | { readonly midi: string; readonly as: MidiWire }
  | { readonly virtual: string; readonly as: MidiWire }
  | {
      readonly osc: number;
      /** The raw value of the board's full scale. */
      readonly full: number;
      /** What another computer hands on: pads as they were read, or notes made of them. */
      readonly hand: 'pads' | 'notes';
      /** How long what it hands on is held against the network's jitter. */
      readonly delay: Micros;
    }
  /** `seat`: which one, where the take is of a whole room. */
  | { readonly take: string; readonly seat?: string | undefined }
  | { readonly player: 'demo' };

export interface Seat {
  readonly name: string;
  /** Name of an instrument file, or a path. */
  readonly instrument: string;
  /** Name of a build file; null: calibrated as it starts. */
  readonly build: string | null;
  readonly from: From;
  readonly rules: string;
  /** 0 to 1. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right. */
  readonly pan: number;
  readonly mute: boolean;
  /** While any seat is solo, only those that are sound. */
  readonly solo: boolean;
  /** While this seat sounds, the others are turned down by the room's `duck`. */
  readonly lead: boolean;
  /** The program or drum kit, counted from 1, instead of the instrument's; null: the instrument's. */
  readonly sound: number | null;
  /** What the rules can be switched to while people play; null: nothing. */
  readonly switch: RulesSwitch | null;
}

/** Rule sets to switch between: by program change 1, 2, …, or to the next by pads held together. */
export interface RulesSwitch {
  /** Names of rules files, or paths. */
  readonly rules: readonly string[];
  /** None: no pads do it. */
  readonly pads: readonly number[];
  readonly hold: Micros;
}

/** Which notes a room plays: the pitch classes (0 is C), rising, at least one. */
export type PitchClasses = readonly number[];

/** Message templates for an OSC receiver; see engine/osc. */
export interface OscMessages {
  readonly on: string;
  readonly off: string;
  readonly silence: string;
  /** What tells of a seat's new level, pan or sound; left out: nothing does. */
  readonly mix?: string | undefined;
}

/**
 * One engine. `Messages` tells whether an OSC receiver's messages may still be the name of a file in
 * engines/, as in a room that was only parsed, or are the messages themselves.
 */
export type To<Messages = string | OscMessages> =
  | {
      readonly builtin: {
        readonly soundfont: string | null;
        readonly seed: number;
        readonly ceiling: Ceiling;
      };
    }
  | {
      readonly midi: ({ readonly port: string } | { readonly virtual: string }) & {
        /** One channel a seat, or one a string as in MIDI mode 4. */
        readonly channels: 'seat' | 'string';
        readonly ceiling: MidiCeiling;
      };
    }
  | {
      readonly osc: {
        readonly host: string;
        readonly port: number;
        readonly messages: Messages;
        /** Send each message in a bundle whose time tag is this far ahead; null: plain messages. */
        readonly ahead: Micros | null;
        /** Hand on to another computer instead of sending messages. */
        readonly hand?: 'pads' | 'notes' | undefined;
      };
    };

export interface Room<Messages = string | OscMessages> {
  readonly seats: readonly Seat[];
  /** How many notes sound at once in the whole room, in fair shares. */
  readonly voices: number;
  /** Notes outside go to the nearest one inside; null: every note is played as it is. */
  readonly scale: PitchClasses | null;
  /** How far the others are turned down while a lead plays, in dB, 0 or more. */
  readonly duck: number;
  /** Where changes of the room are taken from over OSC: a UDP port; null: nowhere. */
  readonly control: { readonly osc: number; readonly host: string } | null;
  readonly to: readonly To<Messages>[];
}
