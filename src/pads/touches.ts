import type { Rules } from '../instrument/types.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import {
  contactOf,
  followRise,
  isFirst,
  isLanding,
  jumpOf,
  landingOf,
  newPadTouch,
  type PadTouch,
} from './pad-touch.js';
import { SPARSE_FULL, type PadsPlan } from './plan.js';
import { reachOf, strengthAsKnown, strengthOf } from './strength.js';
import { ALONE, leastFor, NEXT, pairedOn, raised, type Thresholds } from './thresholds.js';
import { TOUCH_TABLE, type TouchSignal } from './touch-table.js';
import type { LevelEvent, Levels, TouchEvent } from './touch.js';

/** A board that decides touches itself has no level between: whatever is over 0 is touched. */
const ANY_LEVEL: Thresholds = { on: 1e-9, off: 1e-9 };

/** A wire that tells only changes may have no second reading: waiting for it must not be felt. */
const SPARSE_WITHIN: Micros = 8 * MILLISECOND;

/** A jump of this much up from where a held level has settled is a touch of its own. */
const JUMP = 0.35;

export interface TouchesState {
  readonly pads: readonly PadTouch[];
  /** When each pad's wait for its strength or its lift is over, and the earliest of them. */
  readonly dues: Float64Array;
  due: Micros;
}

/**
 * levels → touches: hysteresis between two thresholds, an onset at once, a strength from the first
 * readings, and a lift once the level has stayed low for a while. A touch that is gone by its second
 * reading, and was never far over what noise can do, was a flicker: it gets no strength.
 */
export function touches(
  plan: Pick<PadsPlan, 'pads' | 'decided' | 'full'>,
  rules: Pick<Rules, 'touch' | 'strength'>,
): Stage<TouchesState, LevelEvent, TouchEvent> {
  const usual: Thresholds = plan.decided ? ANY_LEVEL : rules.touch;
  const within =
    plan.full <= SPARSE_FULL
      ? Math.min(rules.strength.within, SPARSE_WITHIN)
      : rules.strength.within;
  // Such a board has looked for the strength itself: its first value is the whole of it.
  const readings = plan.decided ? 0 : rules.strength.readings;
  const wait = Math.max(1, rules.touch.lift);
  const sure = leastFor(rules);
  /**
   * Where a strength is told from two readings, and noise has raised the threshold over that of the
   * rules, these may be the last one before the onset and its own. Without it, the delay of 99 % of
   * notes is 0.4 to 10 ms longer on three of twenty worst units of tests/sim.
   */
  const paired = readings === 1;

  function signal(
    state: TouchesState,
    index: number,
    what: TouchSignal,
    t: Micros,
    out: TouchEvent[],
  ): void {
    const pad = state.pads[index]!;
    const row = TOUCH_TABLE[pad.state][what];
    pad.state = row.to;
    switch (row.act) {
      case 'none':
        return;
      case 'again':
        out.push({ type: 'lift', t, pad: index });
        pad.risen = NaN;
        begin(state, index, t, pad.settled, 0, out);
        return;
      case 'begin':
        begin(state, index, t, pad.before, landingOf(pad, t), out);
        return;
      case 'tell': {
        const reach = reachOf(pad.before, pad.rise);
        const strength = strengthAsKnown(strengthOf(reach, usual.on), pad.known);
        const { onset, landing } = pad;
        const shown = Math.max(...pad.rise);
        const contact = contactOf(pad);
        state.dues[index] = NEVER;
        pad.settled = pad.level;
        pad.seen = t;
        out.push({
          type: 'strike',
          t,
          pad: index,
          onset,
          contact,
          strength,
          reach,
          shown,
          landing,
        });
        return;
      }
      case 'loosen':
        state.dues[index] = t + wait;
        out.push({ type: 'loose', t, pad: index });
        return;
      case 'hold':
        state.dues[index] = NEVER;
        out.push({ type: 'firm', t, pad: index, level: pad.level });
        return;
      case 'drop':
        state.dues[index] = NEVER;
        return;
      case 'end':
        state.dues[index] = NEVER;
        out.push({ type: 'lift', t, pad: index });
        return;
    }
  }

  function begin(
    state: TouchesState,
    index: number,
    t: Micros,
    before: number,
    landing: Micros,
    out: TouchEvent[],
  ): void {
    const pad = state.pads[index]!;
    pad.onset = t;
    pad.before = before;
    pad.landing = landing;
    pad.rise.length = 0;
    pad.rise.push(pad.level);
    state.dues[index] = t + Math.max(1, within);
    out.push({ type: 'onset', t, pad: index });
  }

  /** The strength is to be told now: tells it, or that it was only a flicker of the noise. */
  function decide(
    state: TouchesState,
    index: number,
    t: Micros,
    noise: number,
    out: TouchEvent[],
  ): void {
    const pad = state.pads[index]!;
    if (isLanding(pad, t, raised(usual, sure * noise).on, noise)) {
      state.dues[index] = t + Math.max(1, within);
      return;
    }
    const faint = pad.level < NEXT * noise && Math.max(...pad.rise) < ALONE * noise;
    signal(state, index, faint ? 'faint' : 'heard', t, out);
    // A tap may be over before its strength is known.
    if (!faint && pad.level < raised(usual, sure * noise).off) {
      signal(state, index, 'below', t, out);
    }
  }

  function onLevels(state: TouchesState, event: Levels, out: TouchEvent[]): boolean {
    const { t, pads, levels, noise, known } = event;
    let changed = false;
    // Strengths are told after all onsets of a scan: which pad a wire sends first must not matter.
    let heard: number[] | null = null;
    for (let i = 0; i < pads.length; i++) {
      const index = pads[i]!;
      const pad = state.pads[index]!;
      const level = levels[i]!;
      const least = sure * noise[i]!;
      const { on: alone, off } = raised(usual, least);
      let on = alone;
      let first = false;
      if (pad.state === 'rest') {
        first = paired && alone > usual.on && isFirst(pad, t, noise[i]!);
        if (first) on = pairedOn(usual, pad.level, noise[i]!, alone);
        pad.before = first ? pad.earlier : pad.level;
      }
      pad.earlier = pad.level;
      pad.level = level;
      if (known) pad.known = known[i]!;
      // By far the most readings are of pads at rest that stay so.
      if (level < on && pad.state === 'rest') {
        followRise(pad, t, on, noise[i]!);
        continue;
      }
      changed = true;
      const rising = pad.state === 'rising';
      if (pad.state === 'held' && level >= on && jumpOf(pad, t, level) >= Math.max(JUMP, least)) {
        signal(state, index, 'again', t, out);
      } else {
        signal(state, index, level >= on ? 'above' : level < off ? 'below' : 'between', t, out);
      }
      if (level < on) followRise(pad, t, on, noise[i]!);
      if (rising) pad.rise.push(level);
      // Two readings are known at once.
      else if (first && pad.state === 'rising') pad.rise.unshift(pad.earlier);
      if (pad.state === 'rising' && pad.rise.length > readings) (heard ??= []).push(i);
    }
    if (!heard) return changed;
    // The firmest first: a weaker one may turn out to have only brushed its pad.
    if (heard.length > 1) heard.sort((a, b) => levels[b]! - levels[a]!);
    for (const i of heard) decide(state, pads[i]!, t, noise[i]!, out);
    return changed;
  }

  function onWake(state: TouchesState, t: Micros, out: TouchEvent[]): void {
    state.pads.forEach((pad, index) => {
      if (state.dues[index]! > t) return;
      if (pad.state === 'rising') decide(state, index, t, 0, out);
      else signal(state, index, 'waited', t, out);
    });
  }

  function earliest(state: TouchesState): Micros {
    let due = NEVER;
    for (const own of state.dues) if (own < due) due = own;
    return due;
  }

  return {
    name: 'touches',
    begin: () => ({
      pads: Array.from({ length: plan.pads }, newPadTouch),
      dues: new Float64Array(plan.pads).fill(NEVER),
      due: NEVER,
    }),
    step(state, event): Outcome<TouchesState, TouchEvent> {
      const out: TouchEvent[] = [];
      switch (event.type) {
        case 'levels':
          if (onLevels(state, event, out)) state.due = earliest(state);
          break;
        case 'wake':
          onWake(state, event.t, out);
          state.due = earliest(state);
          break;
        case 'reset':
          for (let i = 0; i < state.pads.length; i++) signal(state, i, 'reset', event.t, out);
          state.due = NEVER;
          out.push(event);
          break;
      }
      return { state, out, wake: state.due };
    },
  };
}
