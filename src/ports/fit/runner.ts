import type { Rules } from '../../instrument/types.js';
import type { TouchEvent } from '../../pads/touch.js';
import { markOf, withoutGuesses, type Mark } from '../../fit/marks.js';
import { playedBy, touchesOf } from '../../fit/way.js';
import { notesOf } from '../../takes/read-notes.js';
import { readReadings, type FitTake, type Readings } from './take.js';

/** What runs in each thread, asked for one thing after the other: it reads every take once, when it is first asked for. */
export interface FitRunner {
  run(take: number, sets: readonly Rules[], brief: boolean): Promise<readonly (readonly Mark[])[]>;
}

/** The touches of so many settings of a take are kept: the search comes back to those it likes. */
const MOST_KEPT = 16;

export function fitRunner(takes: readonly FitTake[]): FitRunner {
  const readings = takes.map((): Readings['events'] | null => null);
  const kept = takes.map(() => new Map<string, TouchEvent[]>());

  async function touchesBy(index: number, rules: Rules, brief: boolean): Promise<TouchEvent[]> {
    const { path, seat, plan, brief: until } = takes[index]!;
    const own = kept[index]!;
    const key = touchKey(rules, brief);
    let found = own.get(key);
    if (!found) {
      const events = (readings[index] ??= (await readReadings(path, seat)).events);
      const looked = brief && until !== null ? events.filter(({ t }) => t < until) : events;
      found = touchesOf(looked, plan, rules);
    }
    // Used last is kept longest.
    own.delete(key);
    own.set(key, found);
    if (own.size > MOST_KEPT) own.delete(own.keys().next().value ?? key);
    return found;
  }

  return {
    async run(index, sets, brief) {
      const { plan, wanted, stretches, brief: until, window } = takes[index]!;
      const to = brief && until !== null ? until : Infinity;
      const marks: Mark[][] = [];
      for (const rules of sets) {
        const all = notesOf(playedBy(await touchesBy(index, rules, brief), plan, rules));
        const played = plan.pads.build || plan.pads.decided ? all : withoutGuesses(all);
        const parts = stretches.map((one) => ({ from: one.from, to: Math.min(one.to, to) }));
        marks.push(parts.map((part) => markOf(wanted, played, part, window)));
      }
      return marks;
    },
  };
}

/** Rule sets that it is the same for have the same touches. */
export function touchKey({ touch, strength }: Rules, brief: boolean): string {
  return JSON.stringify([brief, touch, strength]);
}
