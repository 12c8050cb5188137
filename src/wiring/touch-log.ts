import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import type { ScanLog } from './scan-log.js';
import type { Stretch } from './notice.js';

/** What is kept of a touch: so long before it, of its beginning, and from its end on. */
const BEFORE: Micros = 300 * MILLISECOND;
const OF_IT: Micros = 250 * MILLISECOND;
const AFTER: Micros = 300 * MILLISECOND;
/** A touch is told to be over when nothing has been out for 40 ms: its end is certain from here on. */
const SURELY_OVER: Micros = 20 * MILLISECOND;

/** All of the last moments is kept: longer than any touch, which after 5 s counts as stuck. */
const RECENT: Micros = 12 * SECOND;
/** Of it, so many of the latest readings with nobody touching tell rest and noise; fewer than LEAST do not. */
const QUIET = 1_000;
const LEAST_QUIET = 250;
/** A finger shows a little before it is told, and its neighbours settle a little after. */
const AROUND: Micros = 100 * MILLISECOND;

/** A board that scans more often tells nothing more: a reading closer to the one before is left out. */
const CLOSEST: Micros = 3_500;
/** Of a wire that tells only changes all is kept, up to so many messages. */
const MOST_MESSAGES = 20_000;
const MOST_STRETCHES = 200;

interface Kept extends Stretch {
  readonly scans: readonly Scan[];
}

export interface TouchLog extends ScanLog {
  /** Takes the touches of an input so far for not done. */
  forget(input: number): void;
  /** The wire tells only changes, and rests at 0. */
  readonly onlyChanges: boolean;
  /** When something was touched last, by one finger or more; NaN: nothing was. */
  readonly touchedLast: Micros;
  /** Inputs that were touched while others were too; what they read then is not kept. */
  readonly together: readonly number[];
  /** Whether a touch has come in, whole, since this was asked last. */
  readonly fresh: boolean;
}

/**
 * Keeps what calibrating and checking need, however long it takes: for each input its last touches
 * with a little rest before and after, and the latest readings with nobody touching. What two
 * fingers did at once is not kept.
 *
 * @param most how many touches of each input
 * @param lasts how long a touch is kept
 */
export function touchLog(most: number, lasts: Micros = Infinity): TouchLog {
  let recent: Scan[] = [];
  let quiet: readonly Scan[] = [];
  let since: Micros | null = null;
  let whole = 0;
  let all = false;
  let fresh = false;
  let touched: Micros = NaN;
  const touches = new Map<number, Kept[]>();
  /** When each input was touched last beside others. */
  const together = new Map<number, Micros>();
  const waiting: (Stretch & { readonly input: number })[] = [];
  /** When something was touched, and when it was more than one thing, or is to be forgotten. */
  let busy: Stretch[] = [];
  let unclear: Stretch[] = [];

  const now = (): Micros => recent.at(-1)?.t ?? 0;

  function keep({ input, from, to }: (typeof waiting)[number]): void {
    const scans = recent.filter(
      ({ t }) =>
        (t >= from - BEFORE && t <= Math.min(to, from + OF_IT)) ||
        (t >= to - SURELY_OVER && t <= to + AFTER),
    );
    const own = touches.get(input) ?? [];
    touches.set(input, [...own, { from, to, scans }].slice(-most));
    fresh = true;
  }

  function trim(): void {
    const last = now();
    const due = waiting.findIndex(({ to }) => last < to + AFTER);
    for (const one of waiting.splice(0, due < 0 ? waiting.length : due)) keep(one);
    if (all) {
      if (recent.length > MOST_MESSAGES) recent = recent.slice(-MOST_MESSAGES / 2);
      return;
    }
    // Now and then is enough, and shifting a long list every time is not free.
    if (last - recent[0]!.t < 2 * RECENT) return;
    rested();
    recent = recent.filter(({ t }) => t >= last - RECENT);
    busy = busy.filter(({ to }) => to >= last - RECENT).slice(-MOST_STRETCHES);
    unclear = unclear.slice(-MOST_STRETCHES);
    for (const [input, own] of touches) {
      touches.set(
        input,
        own.filter(({ to }) => to >= last - lasts),
      );
    }
  }

  function rested(): readonly Scan[] {
    const until = since ?? Infinity;
    const found = recent.filter(
      ({ t }) =>
        t < until - AROUND && !busy.some(({ from, to }) => t >= from - AROUND && t <= to + AROUND),
    );
    if (found.length >= LEAST_QUIET || quiet.length === 0) quiet = found.slice(-QUIET);
    return quiet;
  }

  return {
    scan(scan) {
      if (scan.inputs.length === 0) return;
      const { inputs } = recent.at(-1) ?? { inputs: [] };
      whole = Math.max(whole, scan.inputs.length);
      const complete = scan.inputs.length === whole && whole > 1;
      if (!all && complete && scan.t - now() < CLOSEST && inputs.length === whole) return;
      // Most scans list the same inputs: one list serves them all.
      const same = inputs.length === whole && scan.inputs.every((one, i) => one === inputs[i]);
      recent.push(same ? { ...scan, inputs } : scan);
      trim();
    },
    touching: (from) => void (since = from),
    watched(event) {
      if (event.type === 'rested') all = event.onlyChanges;
      if (event.type !== 'touched' && event.type !== 'unclear' && event.type !== 'stuck') return;
      const { from, t: to } = event;
      busy.push({ from, to });
      touched = to;
      if (event.type === 'unclear') {
        unclear.push({ from, to });
        for (const input of event.took) together.set(input, to);
      }
      if (event.type === 'touched') waiting.push({ input: event.input, from, to });
      if (event.type === 'stuck') fresh = true;
    },
    forget(input) {
      const own = [...(touches.get(input) ?? []), ...waiting.filter((one) => one.input === input)];
      // The readings before or after another touch may hold some of them too.
      unclear.push(...own);
      touches.delete(input);
      const others = waiting.filter((one) => one.input !== input);
      waiting.splice(0, waiting.length, ...others);
    },
    get onlyChanges() {
      return all;
    },
    get touchedLast() {
      return since === null ? touched : now();
    },
    get together() {
      return [...together].flatMap(([input, t]) => (t >= now() - lasts ? [input] : []));
    },
    get fresh() {
      const was = fresh;
      fresh = false;
      return was;
    },
    get scans() {
      if (all) return recent;
      for (const one of waiting.splice(0)) keep(one);
      const kept = new Set(rested());
      for (const own of touches.values()) {
        for (const { scans } of own) for (const scan of scans) kept.add(scan);
      }
      return [...kept]
        .filter(({ t }) => !unclear.some(({ from, to }) => t >= from - AROUND / 2 && t <= to))
        .sort((a, b) => a.t - b.t);
    },
  };
}
