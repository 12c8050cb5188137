import type { Instrument } from '../instrument/types.js';
import type { SeatPlan } from '../pipeline.js';
import type { Compared } from '../takes/compare.js';
import type { Judged } from '../takes/compare-judge.js';
import type { PlayedNote } from '../takes/compare-notes.js';
import type { RuleChange } from '../takes/compare-rules.js';
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
