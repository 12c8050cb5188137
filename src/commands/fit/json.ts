import type { Change, Fitted } from '../../fit/cross.js';
import { totalOf, type Total } from '../../fit/marks.js';
import { rulesAsWritten } from '../../takes/rules-written.js';
import type { Micros } from '../../time/micros.js';
import type { Gathered } from './takes.js';
import { blockName, whyOf, writtenValues } from './words.js';

/** What --json writes. Times are in microseconds, `late` in milliseconds; F is as `score` counts it. */
export interface FitJson {
  readonly window: Micros;
  readonly takes: readonly { readonly path: string; readonly shift: Micros | null }[];
  /** What was scored by itself: takes, or parts of a single one. */
  readonly blocks: readonly {
    readonly name: string;
    readonly from: Micros | null;
    readonly to: Micros | null;
    readonly start: Total;
    /** By rules that were found without it. */
    readonly leftOut: Total;
    readonly result: Total;
  }[];
  readonly all: { readonly start: Total; readonly leftOut: Total; readonly result: Total };
  readonly changes: readonly (Pick<Change, 'worth' | 'heldOut'> & {
    readonly key: string;
    readonly from: string;
    readonly to: string;
    readonly why: string;
  })[];
  readonly refused: readonly string[];
  readonly finished: boolean;
  /** As rules files have them. */
  readonly start: unknown;
  readonly rules: unknown;
  /** How many times a take, or its beginning, was run. */
  readonly runs: number;
  /** By the clock, and of all processors together. */
  readonly seconds: number;
  readonly cpuSeconds: number;
}

export function fitJson(
  gathered: Gathered,
  fitted: Fitted,
  told: Pick<FitJson, 'window' | 'runs' | 'seconds' | 'cpuSeconds'>,
): FitJson {
  const { takes, blocks, shifts, start } = gathered;
  const { seen, heldOut, changes, refused, finished, rules } = fitted;
  const [were, are] = [writtenValues(start), writtenValues(rules)];
  const finite = (t: Micros): Micros | null => (Number.isFinite(t) ? t : null);
  return {
    takes: takes.map(({ path }, i) => ({ path, shift: shifts[i] ?? null })),
    blocks: blocks.map(({ stretch }, i) => ({
      name: blockName(gathered, i),
      from: finite(stretch.from),
      to: finite(stretch.to),
      start: totalOf([seen.start[i]!]),
      leftOut: totalOf([heldOut[i]!.fitted]),
      result: totalOf([seen.fitted[i]!]),
    })),
    all: {
      start: totalOf(seen.start),
      leftOut: totalOf(heldOut.map((one) => one.fitted)),
      result: totalOf(seen.fitted),
    },
    changes: changes.map((change) => ({
      key: change.key,
      from: were.get(change.key) ?? '',
      to: are.get(change.key) ?? '',
      why: whyOf(change, gathered),
      worth: change.worth,
      heldOut: change.heldOut,
    })),
    refused,
    finished,
    ...told,
    start: rulesAsWritten(start),
    rules: rulesAsWritten(rules),
  };
}
