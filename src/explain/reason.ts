import type { Instrument, Rules } from '../instrument/types.js';
import type { NoteOff, NoteOn } from '../playing/note.js';
import type { PlayedNote } from '../compare/notes.js';
import type { WatchedRun } from './run.js';
import type { NearTouch, TouchStory } from './touches.js';
import type { PlayStep } from './watch.js';

/** Why no touch began, or no note came of one. */
export const NONE_KINDS = [
  ...(['under-on', 'learning', 'blocked', 'ended', 'flicker', 'dipped', 'bounced'] as const),
  ...(['resting', 'brush', 'stopped', 'fret-only', 'fret-lift', 'left-to-pluck', 'deaf'] as const),
  ...(['no-fingering', 'mouth-short', 'finger-passing', 'own-logic', 'unclear'] as const),
] as const;

/** What made a note begin, at its pitch and time. */
export const START_KINDS = [
  ...(['plucked', 'pressed', 'hit', 'weak', 'open', 'fret', 'of-several'] as const),
  ...(['early-lift', 'missed-early', 'missed-late', 'near-fret'] as const),
  ...(['waited-fret', 'waited-brush', 'waited-strength', 'late', 'hammer', 'pull'] as const),
  ...(['slide', 'waited-pluck', 'blown', 'waited-fingers', 'fingered'] as const),
] as const;

/** What ended it. */
export const END_KINDS = [
  ...(['fret-lifted', 'again', 'rang', 'damped-fret', 'damped-hold', 'no-slide'] as const),
  ...(['slurred', 'finger-left', 'rang-on', 'hit-over', 'mouth-left', 'not-in-chart'] as const),
  ...([
    'heard-out',
    'reset',
    'take-end',
    'yielded',
    'silenced',
    'limited',
    'ended-by-logic',
  ] as const),
] as const;

/** What the room did with it. */
export const ROOM_KINDS = ['no-place', 'muted', 'not-solo', 'moved'] as const;

export type ReasonKind =
  | (typeof NONE_KINDS)[number]
  | (typeof START_KINDS)[number]
  | (typeof END_KINDS)[number]
  | (typeof ROOM_KINDS)[number];

/** What was seen, in numbers: times in microseconds, levels, numbers of pads, strings and notes. */
export type Facts = Readonly<Record<string, number | string | null>>;

/** A reason as the stages show it, and the rules that may have decided it. */
export interface Reason {
  readonly kind: ReasonKind;
  readonly facts: Facts;
  /** Keys that may have decided; running again tells which of them did. */
  readonly keys: readonly string[];
  /** It counts only where one of them did. */
  readonly onlyIf: boolean;
}

export function reason(kind: ReasonKind, facts: Facts = {}, ...keys: string[]): Reason {
  return { kind, facts, keys, onlyIf: false };
}

/** The same for what is not told unless running again shows that it matters. */
export function perhaps(kind: ReasonKind, facts: Facts, ...keys: string[]): Reason {
  return { kind, facts, keys, onlyIf: true };
}

/** A note as the seat's playing logic made it, and what the room made of it. */
export interface SeatNote {
  readonly on: NoteOn;
  readonly onStep: PlayStep;
  off: NoteOff | null;
  offStep: PlayStep | null;
  /** The touch that sounded it; null for slurs and where there is none. */
  readonly touch: TouchStory | null;
  /** As it sounded; null where it never did. */
  readonly played: PlayedNote | null;
}

/** All that reasons are found in. */
export interface Scene {
  readonly run: WatchedRun;
  /** As they were at the time asked for. */
  readonly instrument: Instrument;
  readonly rules: Rules;
  readonly touches: readonly TouchStory[];
  readonly near: readonly NearTouch[];
  readonly notes: readonly SeatNote[];
}

/** How one kind of instrument is explained. */
export interface KindReasons {
  /** Pads whose touch sounds notes; the others only change them. */
  readonly sounds: (pad: number) => boolean;
  /** On which string, key or drum pad a pad plays; null for a pad that has no part. */
  readonly placeOf: (pad: number) => number | null;
  readonly none: (scene: Scene, touch: TouchStory) => Reason[];
  /** Why a touch of a pad that sounds nothing by itself changed nothing, as it begins and as it ends. */
  readonly silent: (scene: Scene, touch: TouchStory) => { began: Reason[]; lifted: Reason[] };
  readonly start: (scene: Scene, note: SeatNote) => Reason[];
  readonly end: (scene: Scene, note: SeatNote) => Reason[];
}
