import type { Reset, Wake } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import { guess, learn, startLearning, LEARN_FOR, type Learning } from './learn.js';
import { decidedPad, wiringOf, type PadsPlan } from './plan.js';
import { followRest, restAt, settleRest, type Rest } from './rest.js';
import type { LevelEvent, Levels } from './touch.js';
import { unmixing, type Unmixing } from './unmix.js';

interface PadState {
  readonly rest: Rest;
  span: number;
  /** The last raw change from rest. */
  change: number;
  /** What is being learned; null once the pad plays. */
  learning: Learning | null;
  /** The highest level of the touch that is on, of a pad without a calibration; 0 between touches. */
  peak: number;
  /** Whether it has shown its span by a touch. */
  touched: boolean;
}

export interface LevelsState {
  pads: (PadState | null)[];
  /** When pads that have sent nothing are taken for being at rest; NEVER before the first scan. */
  assume: Micros;
  begun: boolean;
}

/** 7-bit wires often send only what changes: a pad that was never heard of rests at 0 there. */
const SPARSE_FULL = 127;

/** How far towards a peak the span of an uncalibrated pad moves with each touch after its first. */
const PEAK_SHARE = 0.5;

/**
 * readings → levels: puts each input's raw value in its place on its own pad's scale, 0 at rest and
 * 1 at a full touch, whichever wire it came by.
 *
 * A pad without a calibration is watched for a moment, gives no level in that time, and starts
 * with a low guess of its span that its own touches correct. Readings of unknown inputs, of inputs
 * that are not wired and of pads marked unfit in the build are passed over.
 */
export function levels(plan: PadsPlan): Stage<LevelsState, WireEvent, LevelEvent> {
  const wiring = wiringOf(plan);
  const unmix: Unmixing | null = plan.build ? unmixing(plan.build.pads) : null;

  function beginPad(pad: number): PadState | null {
    const known = plan.decided ? decidedPad(plan.full) : plan.build?.pads[pad];
    if (known === null) return null;
    return {
      rest: restAt(known?.rest ?? 0),
      span: known?.span ?? 1,
      change: 0,
      learning: known ? null : startLearning(),
      peak: 0,
      touched: false,
    };
  }

  function begin(): LevelsState {
    return {
      pads: Array.from({ length: plan.pads }, (_, pad) => beginPad(pad)),
      assume: NEVER,
      begun: false,
    };
  }

  /** Returns the level of the last reading that was watched; 0 where there was none. */
  function endLearning(pad: PadState): number {
    const seen = pad.learning ?? startLearning();
    const found = guess(seen, plan.full);
    pad.rest.value = found.rest;
    pad.span = found.span;
    pad.learning = null;
    return ((seen.raws.at(-1) ?? found.rest) - found.rest) / found.span;
  }

  /** Pads of a wire that tells only changes have sent nothing because nobody touches them. */
  function assumeRest(state: LevelsState, t: Micros): Levels | null {
    const pads: number[] = [];
    state.pads.forEach((pad, index) => {
      if (!pad) return;
      if (pad.learning?.raws.length === 0) endLearning(pad);
      else if (!plan.decided) return;
      pads.push(index);
    });
    return pads.length === 0 ? null : { type: 'levels', t, pads, levels: pads.map(() => 0) };
  }

  function levelOf(state: LevelsState, index: number, pad: PadState): number {
    if (!unmix) return pad.change / pad.span;
    const { from, factor } = unmix[index]!;
    let own = 0;
    for (let k = 0; k < from.length; k++) {
      own += factor[k]! * (state.pads[from[k]!]?.change ?? 0);
    }
    return own / pad.span;
  }

  /** An uncalibrated pad learns its span from its own touches, as each ends. */
  function followSpan(pad: PadState, level: number): void {
    if (level > 0.5) pad.peak = Math.max(pad.peak, level);
    else if (pad.peak > 0 && level < 0.25) {
      const share = pad.touched ? PEAK_SHARE : 1;
      if (pad.peak > 1) pad.span *= 1 + share * (pad.peak - 1);
      pad.peak = 0;
      pad.touched = true;
    }
  }

  function onScan(state: LevelsState, scan: Scan): readonly LevelEvent[] {
    const { t, inputs, raws } = scan;
    const pads: number[] = [];
    let before: Levels | null = null;
    const learned: { pad: number; level: number }[] = [];
    if (!state.begun) {
      state.begun = true;
      if (plan.decided) before = assumeRest(state, t);
      else if (!plan.build && plan.full <= SPARSE_FULL) state.assume = t + LEARN_FOR;
    }
    for (let i = 0; i < inputs.length; i++) {
      const index = wiring[inputs[i]!];
      if (index === undefined || index === null) continue;
      const pad = state.pads[index];
      if (!pad) continue;
      const raw = raws[i]!;
      if (pad.learning) {
        if (t < pad.learning.until) {
          learn(pad.learning, t, raw);
          continue;
        }
        learned.push({ pad: index, level: endLearning(pad) });
      }
      if (!plan.decided) settleRest(pad.rest, t);
      pad.change = raw - pad.rest.value;
      pads.push(index);
    }
    if (pads.length === 0) return before ? [before] : NOTHING;
    if (learned.length > 0) {
      // Where a pad was left is told too: on a wire that tells only changes it was at rest since.
      const of = learned.map(({ pad }) => pad);
      before = { type: 'levels', t, pads: of, levels: learned.map(({ level }) => level) };
    }
    const values = new Array<number>(pads.length);
    for (let i = 0; i < pads.length; i++) {
      const index = pads[i]!;
      const pad = state.pads[index]!;
      const level = levelOf(state, index, pad);
      values[i] = level;
      if (plan.decided) continue;
      followRest(pad.rest, t, pad.change + pad.rest.value, level);
      if (!plan.build) followSpan(pad, level);
    }
    const now: Levels = { type: 'levels', t, pads, levels: values };
    return before ? [before, now] : [now];
  }

  function onReset(state: LevelsState, reset: Reset): LevelsState {
    // A unit that went away may come back as another one: what was learned of it is forgotten.
    return reset.why === 'lost' ? begin() : state;
  }

  function onWake(state: LevelsState, wake: Wake): readonly LevelEvent[] {
    if (wake.t < state.assume) return NOTHING;
    state.assume = NEVER;
    const assumed = assumeRest(state, wake.t);
    return assumed ? [assumed] : NOTHING;
  }

  return {
    name: 'levels',
    begin,
    step(state, event): Outcome<LevelsState, LevelEvent> {
      switch (event.type) {
        case 'scan': {
          const out = onScan(state, event);
          return { state, out, wake: state.assume };
        }
        case 'reset': {
          const next = onReset(state, event);
          return { state: next, out: [event], wake: next.assume };
        }
        case 'wake': {
          const out = onWake(state, event);
          return { state, out, wake: state.assume };
        }
      }
    },
  };
}
