import type { Micros } from '../time/micros.js';
import type { Ceiling, MidiCeiling } from './ceiling.js';

export type * from './kinds.js';
export type * from './rule-set.js';

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
  | {
      /** `screen`: a finger or a mouse on the page. */
      readonly player: 'demo' | 'screen';
      /** Of a unit on the page: whether its wires are in the order of its pads; left out: they are. */
      readonly wires?: 'straight' | 'mixed' | undefined;
      /** Of a unit on the page; left out: carefully. */
      readonly built?: 'carefully' | 'hastily' | undefined;
    };

export interface Seat {
  readonly name: string;
  /** Name of an instrument file, or a path. */
  readonly instrument: string;
  /** Name of a build file; null: calibrated as it starts. */
  readonly build: string | null;
  readonly from: From;
  /**
   * Whether it is noticed when its board stops sending; a time: after that long; null: as its wire
   * shows itself whether it sends steadily.
   */
  readonly steady: boolean | Micros | null;
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
