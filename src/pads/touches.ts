import type { Rules } from '../instrument/types.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import type { PadsPlan } from './plan.js';
import { TOUCH_TABLE, type TouchSignal, type TouchState } from './touch-table.js';
import type { LevelEvent, Levels, TouchEvent } from './touch.js';

/** A board that decides touches itself has no level between: whatever is over 0 is touched. */
const ANY_LEVEL = 1e-9;

interface PadTouch {
  state: TouchState;
  onset: Micros;
  /** The highest level of this touch so far, and the last one. */
  peak: number;
  level: number;
  /** Readings since the onset, while rising. */
  readings: number;
  /** When the wait for the strength or for the lift is over. */
  due: Micros;
}

export interface TouchesState {
  readonly pads: PadTouch[];
  due: Micros;
}

/** Where a touch begins and may end, in levels. */
export interface Thresholds {
  readonly on: number;
  readonly off: number;
}

/**
 * How hard a touch was, from its highest level: 0 where it only just reached the threshold, 1 at a
 * full touch and over.
 */
export function strengthOf(peak: number, thresholds: Thresholds): number {
  const range = Math.max(1e-6, 1 - thresholds.on);
  return Math.min(1, Math.max(0, (peak - thresholds.on) / range));
}

/**
 * levels → touches: hysteresis between two thresholds, an onset at once, a strength from the peak of
 * the first readings, and a lift once the level has stayed low for a while.
 */
export function touches(
  plan: Pick<PadsPlan, 'pads' | 'decided'>,
  rules: Pick<Rules, 'touch' | 'strength'>,
): Stage<TouchesState, LevelEvent, TouchEvent> {
  const thresholds: Thresholds = plan.decided ? { on: ANY_LEVEL, off: ANY_LEVEL } : rules.touch;
  const { on, off } = thresholds;
  const { readings, within } = rules.strength;
  const wait = Math.max(1, rules.touch.lift);

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
      case 'begin':
        pad.onset = t;
        pad.peak = pad.level;
        pad.readings = 0;
        pad.due = t + Math.max(1, within);
        out.push({ type: 'onset', t, pad: index });
        return;
      case 'tell': {
        const strength = strengthOf(pad.peak, thresholds);
        pad.due = NEVER;
        out.push({ type: 'strike', t, pad: index, onset: pad.onset, strength });
        // A tap may be over before its strength is known.
        if (pad.level < off) signal(state, index, 'below', t, out);
        return;
      }
      case 'loosen':
        pad.due = t + wait;
        return;
      case 'hold':
      case 'drop':
        pad.due = NEVER;
        return;
      case 'end':
        pad.due = NEVER;
        out.push({ type: 'lift', t, pad: index });
        return;
    }
  }

  function onLevels(state: TouchesState, event: Levels, out: TouchEvent[]): boolean {
    const { t, pads, levels } = event;
    let changed = false;
    // Strengths are told after all onsets of a scan: which pad a wire sends first must not matter.
    let heard: number[] | null = null;
    for (let i = 0; i < pads.length; i++) {
      const index = pads[i]!;
      const pad = state.pads[index]!;
      const level = levels[i]!;
      pad.level = level;
      // By far the most readings are of pads at rest that stay so.
      if (level < on && pad.state === 'rest') continue;
      changed = true;
      const rising = pad.state === 'rising';
      if (level > pad.peak) pad.peak = level;
      signal(state, index, level >= on ? 'above' : level < off ? 'below' : 'between', t, out);
      if (rising) pad.readings += 1;
      if (pad.state === 'rising' && pad.readings >= readings) (heard ??= []).push(index);
    }
    if (heard) for (const index of heard) signal(state, index, 'heard', t, out);
    return changed;
  }

  function onWake(state: TouchesState, t: Micros, out: TouchEvent[]): void {
    state.pads.forEach((pad, index) => {
      if (pad.due > t) return;
      signal(state, index, pad.state === 'rising' ? 'heard' : 'waited', t, out);
    });
  }

  function earliest(state: TouchesState): Micros {
    let due = NEVER;
    for (const pad of state.pads) if (pad.due < due) due = pad.due;
    return due;
  }

  return {
    name: 'touches',
    begin: () => ({
      pads: Array.from({ length: plan.pads }, () => ({
        state: 'blocked' as const,
        onset: 0,
        peak: 0,
        level: 0,
        readings: 0,
        due: NEVER,
      })),
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
