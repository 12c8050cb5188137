import type { Rules } from '../../src/instrument/types.js';
import { blocksOf, type Block } from '../../src/fit/blocks.js';
import { judge, type Judge, type RunTake } from '../../src/fit/judge.js';
import { markOf, type Mark } from '../../src/fit/marks.js';
import { playedBy, touchesOf } from '../../src/fit/way.js';
import type { TouchEvent } from '../../src/pads/touch.js';
import type { SeatPlan } from '../../src/pipeline.js';
import { touchKey } from '../../src/ports/fit/runner.js';
import { notesOf, type ListedNote } from '../../src/takes/read-notes.js';
import { ONSET_WITHIN } from '../../src/score/score.js';
import type { Scan } from '../../src/wire/scan.js';

/** A take in memory. */
export interface MadeTake {
  readonly scans: readonly Scan[];
  readonly plan: Pick<SeatPlan, 'instrument' | 'pads'>;
  readonly wanted: readonly ListedNote[];
}

const touched = new WeakMap<MadeTake, Map<string, readonly TouchEvent[]>>();

/** What rules make of a take, in memory and in this thread. */
export function notesBy(take: MadeTake, rules: Rules): ListedNote[] {
  const { scans, plan } = take;
  const known = touched.get(take) ?? new Map<string, readonly TouchEvent[]>();
  touched.set(take, known);
  const key = touchKey(rules, false);
  const touches = known.get(key) ?? touchesOf(scans, plan, rules);
  known.set(key, touches);
  return notesOf(playedBy(touches, plan, rules));
}

/** Runs takes as threads do. */
export function judgeOf(takes: readonly MadeTake[]): { judge: Judge; blocks: Block[] } {
  const blocks = blocksOf(
    takes.map(({ wanted }) => wanted),
    ONSET_WITHIN,
  );
  const run: RunTake = (take, sets) =>
    Promise.resolve(
      sets.map((rules) => {
        const played = notesBy(takes[take]!, rules);
        return blocks
          .filter((block) => block.take === take)
          .map(({ stretch }) => markOf(takes[take]!.wanted, played, stretch));
      }),
    );
  return { judge: judge(run, () => true), blocks };
}

/** A mark of a block of 100 wanted notes, of which these are missed. */
export function mark(missed: readonly number[], added = 0, late = 0, rank = 1): Mark {
  const right = 100 - missed.length;
  return {
    wanted: 100,
    played: right + added,
    missed,
    added,
    rank,
    late: 1000 * late * right,
    off: 0,
    told: 0,
  };
}

/** A judge of takes that nobody played: what rules do on each is told by a function. */
export function madeUp(count: number, of: (rules: Rules, take: number) => Mark) {
  const blocks = Array.from({ length: count }, (_, take): Block => ({
    take,
    part: 0,
    stretch: { from: -Infinity, to: Infinity },
  }));
  const run: RunTake = (take, sets) => Promise.resolve(sets.map((rules) => [of(rules, take)]));
  return { judge: judge(run, () => true), blocks };
}
