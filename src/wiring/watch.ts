import type { Reset } from '../time/events.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import { median } from '../pads/series.js';
import { heardBy, leastChange, tellsOnlyChanges, type WireKind } from './kind.js';
import { endTouch, judgeTouch, type OneTouch, type TouchedInput } from './touch.js';
import { followInput, limitOf, settleInput, towards, wireInput } from './input.js';
import type { UnknownUnit, Watched } from './input.js';

/** How long everything is watched before touches count; nobody should touch meanwhile. */
export const WATCH_FOR: Micros = 600 * MILLISECOND;
/** While something is touched it is judged at least this often, also on a wire that is silent. */
const STEP: Micros = 10 * MILLISECOND;
/**
 * A reading of an input that flickers counts for this many scans at most: where packets are lost, or a
 * unit falls silent, its last reading is as likely an outlier as any.
 */
const SCANS_HELD = 3;
/** Nobody touches more pads than this at once, where one is asked for. */
const FINGERS = 4;
const LONGEST_SCAN: Micros = 50 * MILLISECOND;

/** What a person may press while a wiring is learned. */
export type WireKeyName = 'skip' | 'back' | 'quit';
export interface WireKey {
  readonly type: 'key';
  readonly t: Micros;
  readonly key: WireKeyName;
}

export type WatchEvent = TouchedInput | WireKey | Reset;

export interface WatchState extends UnknownUnit {
  t: Micros;
  /** When the first watch began; NaN before. */
  begun: Micros;
  /** The readings of the first watch, which may hold a touch already; null once they were judged. */
  early: Scan[] | null;
  onlyChanges: boolean;
  /** When the last scan came, and the usual time between two. */
  scanned: Micros;
  every: Micros;
  touch: OneTouch | null;
}

/**
 * readings → touched inputs, on a unit of which nothing is known: which input is which pad, where each
 * rests, how far a touch moves it and which way. Keys are passed on.
 *
 * The touched input is the one that moves furthest in raw counts, whatever couples with it. It counts
 * when it was the furthest for a short while, alone, and was let go.
 */
export function watchInputs(kind: WireKind): Stage<WatchState, WireEvent | WireKey, WatchEvent> {
  const begin = (): WatchState => ({
    t: 0,
    begun: NaN,
    early: [],
    inputs: [],
    touch: null,
    rising: 0,
    scanned: 0,
    every: LONGEST_SCAN,
    onlyChanges: kind.decided,
    least: leastChange(kind, kind.decided),
  });

  const anyOut = (state: WatchState): boolean =>
    state.inputs.some(
      (one) => one.learning === null && Math.abs(one.raw - one.rest) > limitOf(one, state.least),
    );
  const busy = (state: WatchState): boolean => state.touch !== null || anyOut(state);

  function tick(state: WatchState, t: Micros, out: WatchEvent[]): void {
    const step = t - state.t;
    const until = Math.min(t, state.scanned + SCANS_HELD * state.every);
    const heard = Math.max(0, until - state.t);
    state.t = t;
    state.inputs.forEach((one) => {
      if (one.learning && t >= one.learning.until) settleInput(one, one.learning.watched);
      if (one.learning) return;
      one.smooth = towards(one.smooth, one.raw, one.noise > 0 ? heard : step);
      if (state.touch || state.onlyChanges) return;
      if (Math.abs(one.smooth - one.rest) <= limitOf(one, state.least)) followInput(one, step);
    });
    const told: TouchedInput[] = [];
    state.touch = judgeTouch(state.touch, state, t, told);
    out.push(...told);
  }

  function advance(state: WatchState, to: Micros, out: WatchEvent[]): void {
    while (to > state.t) tick(state, busy(state) ? Math.min(to, state.t + STEP) : to, out);
  }

  function take(state: WatchState, { t, inputs, raws }: Scan, out: WatchEvent[]): void {
    advance(state, t, out);
    state.scanned = t;
    for (let i = 0; i < inputs.length; i++) {
      const raw = raws[i]!;
      // An input that comes late is watched first, unless its wire has not spoken for it at rest.
      const one = (state.inputs[inputs[i]!] ??= state.onlyChanges
        ? wireInput(0)
        : wireInput(raw, { until: t + WATCH_FOR, watched: [] }));
      one.learning?.watched.push({ t, raw });
      one.raw = raw;
    }
  }

  /** Ends the first watch, then judges its readings again: they may hold a touch already. */
  function settle(state: WatchState, to: Micros, out: WatchEvent[]): void {
    const early = state.early ?? [];
    const heard = heardBy(early);
    state.onlyChanges = tellsOnlyChanges(kind, heard.size);
    state.least = leastChange(kind, state.onlyChanges);
    state.early = null;
    const gaps = early.slice(1).map((scan, i) => scan.t - early[i]!.t);
    const usual = median(gaps.filter((gap) => gap > 0));
    state.every = usual < LONGEST_SCAN ? usual : LONGEST_SCAN;
    state.scanned = state.begun;
    state.t = state.begun;
    for (const [input, watched] of heard) {
      const one = (state.inputs[input] = wireInput(0));
      if (!state.onlyChanges) settleInput(one, watched as Watched[]);
    }
    out.push({ type: 'rested', t: to, onlyChanges: state.onlyChanges });
    for (const scan of early) take(state, scan, out);
    advance(state, to, out);
  }

  function onTime(state: WatchState, t: Micros, out: WatchEvent[]): void {
    if (state.early === null) advance(state, t, out);
    else if (t >= state.begun + WATCH_FOR) settle(state, t, out);
  }

  function onScan(state: WatchState, scan: Scan, out: WatchEvent[]): void {
    if (state.early === null) {
      take(state, scan, out);
      return;
    }
    const spoken = scan.inputs.length > 0 || tellsOnlyChanges(kind, 0);
    if (Number.isNaN(state.begun) && spoken) state.begun = scan.t;
    if (!Number.isNaN(state.begun)) state.early.push(scan);
  }

  /**
   * A wire that seemed to tell only changes, but has more inputs away from 0 at once than there are
   * fingers, tells all: its board began late, and its rests are learned from here on.
   */
  function tellsAll(state: WatchState): boolean {
    if (!state.onlyChanges || kind.decided || state.early) return false;
    const away = state.inputs.filter(({ raw, rest }) => Math.abs(raw - rest) > state.least);
    return away.length > Math.max(FINGERS, kind.pads / 2);
  }

  function onReset(state: WatchState, reset: Reset, out: WatchEvent[]): WatchState {
    out.push(reset);
    // A unit that went away may come back as another one.
    if (reset.why === 'lost') return { ...begin(), t: reset.t };
    state.touch = endTouch(state.inputs);
    return state;
  }

  return {
    name: 'watch inputs',
    begin,
    step(given, event): Outcome<WatchState, WatchEvent> {
      let state = given;
      const out: WatchEvent[] = [];
      const t = Math.max(event.t, state.t);
      onTime(state, t, out);
      if (event.type === 'scan') onScan(state, { ...event, t }, out);
      if (tellsAll(state)) {
        if (state.touch?.pressed) out.push({ type: 'freed', t });
        state = { ...begin(), t };
      }
      if (event.type === 'key') out.push(event);
      else if (event.type === 'reset') state = onReset(state, { ...event, t }, out);
      const watching = Number.isNaN(state.begun) ? NEVER : state.begun + WATCH_FOR;
      const wake = state.early ? watching : busy(state) ? t + STEP : NEVER;
      return { state, out: out.length > 0 ? out : NOTHING, wake };
    },
  };
}
