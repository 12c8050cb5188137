import type { SeatSound } from '../../../../engine/seat-sound.js';
import type { Instrument } from '../../../../instrument/types.js';
import type { VoiceEvent } from '../../../../room/voice.js';
import type { Compared } from '../../../../compare/compare.js';
import type { Judged } from '../../../../compare/judge.js';
import type { Window } from '../../../../compare/run.js';
import type { RuleChange } from '../../../../compare/rules.js';
import type { InWords } from '../../../../explain/in-words.js';
import type { ListedNote } from '../../../../takes/read-notes.js';
import type { Instead } from '../../../../takes/take-plan.js';
import type { Micros } from '../../../../time/micros.js';
import type { LevelPyramid } from './pyramid.js';

/** A file of this device, as bytes, so that it need not be sent anywhere. */
export interface DeviceFile {
  readonly name: string;
  readonly bytes: ArrayBuffer;
}

/** A take that the service has, by its name in the list, or one of this device. */
export type Source = { readonly listed: string } | { readonly device: DeviceFile };

/** By which rules a take is run. */
export type By =
  | { readonly by: 'played' }
  | { readonly by: 'file'; readonly name: string }
  /** What plays at a seat just now: values as a rules file writes them, by key. */
  | {
      readonly by: 'tried';
      readonly name: string;
      readonly values: Readonly<Record<string, string>>;
    };

/** Something that is not as it should be. What the core or the service says of it is English. */
export type Fault =
  /** In words already. */
  | { readonly kind: 'words'; readonly what: string; readonly next: string }
  | { readonly kind: 'unreachable' }
  | { readonly kind: 'not-a-take'; readonly what: string }
  /** A gzip of which nothing could be unpacked. */
  | { readonly kind: 'gzip' }
  /** A take that holds more than can be held in memory here. */
  | { readonly kind: 'too-long' }
  /** Rules with a module of somebody's own, which runs on the computer only. */
  | { readonly kind: 'own-logic'; readonly rules: string; readonly file: string }
  /** The notes were made on another computer. */
  | { readonly kind: 'made' }
  /** Something is missing that it takes to run it. */
  | { readonly kind: 'plan'; readonly what: string; readonly instead: keyof Instead }
  /** The wanted notes are none: `take` where they are a take. */
  | { readonly kind: 'not-notes'; readonly take: boolean }
  /** A fault of this page. */
  | { readonly kind: 'broken'; readonly what: string };

/** Something that was passed over. */
export type Note =
  | { readonly kind: 'cut-gzip' }
  /** Lines that could not be read, of the take or of the wanted notes; the first of them in words. */
  | {
      readonly kind: 'lines';
      readonly of: 'take' | 'wanted';
      readonly count: number;
      readonly line: number;
      readonly what: string;
    }
  | { readonly kind: 'none-wanted' }
  /** From then on, a module of somebody's own played; here the built-in logic does. */
  | { readonly kind: 'swapped-logic'; readonly t: Micros; readonly file: string }
  /** Other seats with a module of their own, for which the built-in logic plays here. */
  | { readonly kind: 'others-logic'; readonly seats: readonly string[] }
  | { readonly kind: 'failed'; readonly t: Micros; readonly what: string };

/** A take once it is open. */
export interface Opened {
  readonly name: string;
  /** One, unless the take is of a whole room. */
  readonly seats: readonly { readonly name: string | null; readonly rules: string | null }[];
  readonly room: boolean;
  /** The time of its last event. */
  readonly length: Micros;
  readonly scans: number;
  readonly notes: readonly Note[];
}

/** One of the two runs. */
export interface RunResult {
  readonly name: string;
  readonly notes: number;
  /** Where a touch begins at the least. */
  readonly on: number;
  /** What engines are told, to sound it. */
  readonly events: readonly VoiceEvent[];
}

/** What two rule sets make of a take. */
export interface Result {
  readonly instrument: Instrument;
  readonly a: RunResult;
  readonly b: RunResult;
  readonly sound: SeatSound;
  readonly length: Micros;
  readonly within: Micros;
  readonly rules: readonly RuleChange[];
  /** In the order of time. */
  readonly notes: readonly Compared[];
  /** With the places where they belong; null: none were given. */
  readonly wanted: readonly { readonly note: ListedNote; readonly place: number }[] | null;
  readonly judged: Judged | null;
  /** Where to look first. */
  readonly window: Window;
  /** Levels by A, by pad number. */
  readonly levels: readonly LevelPyramid[];
  readonly said: readonly Note[];
}

/** Why there was a note, or none. */
export interface Explained extends InWords {
  readonly rules: string;
  readonly said: readonly Note[];
}

/** How far something has come; `share` from 0 to 1, null: not known. */
export interface Progress {
  readonly step: 'fetch' | 'read' | 'a' | 'b' | 'levels' | 'explain';
  readonly share: number | null;
}

/** What the desk is asked for. */
export interface Asks {
  open: { readonly ask: { readonly source: Source }; readonly answer: Opened };
  wanted: {
    /** null: no wanted notes any more. */
    readonly ask: { readonly file: DeviceFile | null };
    readonly answer: { readonly count: number; readonly notes: readonly Note[] };
  };
  compare: {
    readonly ask: { readonly seat: number; readonly a: By; readonly b: By };
    readonly answer: Result;
  };
  explain: {
    readonly ask: {
      readonly seat: number;
      readonly by: By;
      readonly at: Micros;
      /** null: all pads. */
      readonly pad: number | null;
    };
    readonly answer: Explained;
  };
}

export type AskName = keyof Asks;

/** To the worker. */
export type ToWorker =
  /** First of all: where the service is. */
  | { readonly base: string }
  | {
      [Name in AskName]: {
        readonly id: number;
        readonly name: Name;
        readonly ask: Asks[Name]['ask'];
      };
    }[AskName];

/** From the worker: an answer or a fault ends what was asked. */
export type FromWorker =
  | { readonly id: number; readonly progress: Progress }
  | { readonly id: number; readonly answer: Asks[AskName]['answer'] }
  | { readonly id: number; readonly fault: Fault };
