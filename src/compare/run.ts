import type { Instrument } from '../instrument/types.js';
import type { SeatPlan } from '../pipeline.js';
import { compareNotes, type Compared } from './compare.js';
import { judge, type Judged } from './judge.js';
import type { PlayedNote } from './notes.js';
import { placeOfWanted } from './places.js';
import { compareRules, type RuleChange } from './rules.js';
import { sameWithin } from './within.js';
import type { ListedNote } from '../takes/read-notes.js';
import type { Take } from '../takes/read.js';
import type { Micros } from '../time/micros.js';

/** One of the two runs. */
export interface Run {
  /** The name of its rules; where both are called alike, as they were asked for. */
  readonly name: string;
  readonly plan: SeatPlan;
  readonly notes: readonly PlayedNote[];
}

/** What of the take is looked at, in microseconds from its start. */
export interface Window {
  readonly from: Micros;
  readonly to: Micros;
}

/** A take run twice, and what differs. */
export interface Comparison {
  readonly path: string;
  readonly take: Take;
  readonly instrument: Instrument;
  readonly a: Run;
  readonly b: Run;
  /** The time of the last event. */
  readonly length: Micros;
  /** How far onsets of one and the same note may be apart. */
  readonly within: Micros;
  readonly rules: readonly RuleChange[];
  readonly notes: readonly Compared[];
  readonly wanted: readonly ListedNote[] | null;
  /** By the wanted notes, where there are any. */
  readonly judged: Judged | null;
  /** What was asked to be looked at; null: nothing in particular. */
  readonly window: Window | null;
}

/** Two runs of one take; `apart` is how far onsets of one note may be apart, null: as the rules say. */
export interface Runs extends Pick<Comparison, 'path' | 'take' | 'a' | 'b' | 'length' | 'wanted'> {
  readonly apart: Micros | null;
}

/** What differs between two runs. */
export function compareRuns({ apart, ...runs }: Runs): Comparison {
  const { a, b, wanted } = runs;
  const { instrument, rules } = a.plan;
  const within = apart ?? sameWithin(rules, b.plan.rules);
  const notes = compareNotes(a.notes, b.notes, within);
  return {
    ...runs,
    instrument,
    within,
    notes,
    window: null,
    rules: compareRules(rules, b.plan.rules, instrument.kind),
    judged: wanted && judge(notes, wanted),
  };
}

/** A compared note with its number among those that differ, from 1; 0 where nothing does. */
export interface Numbered {
  readonly one: Compared;
  readonly number: number;
}

/** Numbers those that differ, in the order of time, from 1. */
export function numberDifferences(notes: readonly Compared[]): Numbered[] {
  let number = 0;
  return notes.map((one) => ({ one, number: one.changes.length > 0 ? (number += 1) : 0 }));
}

/** The place of a wanted note: its own, or that of a note that is right by it, or one that has its pitch. */
export function placeOfAsked(
  note: ListedNote,
  { instrument, judged }: Pick<Comparison, 'instrument' | 'judged'>,
): number {
  if (note.string !== null) return note.string;
  const pairs = [...(judged?.a.matched ?? []), ...(judged?.b.matched ?? [])];
  const right = pairs.find(
    ({ wanted }) => wanted.onset === note.onset && wanted.note === note.note,
  );
  return right?.played.string ?? placeOfWanted(note, instrument);
}
