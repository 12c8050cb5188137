import type { Rules } from '../instrument/types.js';
import type { Reset } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import { mainsAt, newMains, type Mains } from './hum.js';
import { guess, learn, startLearning, LEARN_FOR, type Learning } from './learn.js';
import { decidedPad, firstSigma, SPARSE_FULL, wiringOf, type PadsPlan } from './plan.js';
import { changeOf, followRest, restAt, type Rest } from './rest.js';
import { median } from './series.js';
import { followSpan, knownOf, newSpanLearning, type SpanLearning } from './span.js';
import { leastFor, raised } from './thresholds.js';
import type { LevelEvent, Levels } from './touch.js';
import { unmix, unmixing, type Unmixing } from './unmix.js';

interface PadState {
  rest: Rest;
  /** The raw change of a full touch. */
  span: number;
  /** The last raw change from rest, hum taken out. */
  change: number;
  /** What is being learned; null once the pad plays. */
  learning: Learning | null;
  /** What a calibrated pad reads at first: its rest may have drifted since. Null once it is known. */
  settling: Learning | null;
  readonly spanning: SpanLearning;
}

export interface LevelsState {
  readonly pads: readonly (PadState | null)[];
  readonly mains: Mains;
  /** How many pads have shown their span by a touch. */
  shown: number;
  /** When pads that have sent nothing are taken for being at rest; NEVER where they are not. */
  assume: Micros;
  begun: boolean;
  /** Levels as read and the pads' own, by pad: room to work in. */
  readonly read: Float64Array;
  readonly own: Float64Array;
}

/** A reading this share of a full touch from rest is a touch, not drift. */
const TOUCHED = 0.5;

/**
 * readings → levels: puts each input's raw value in its place on its own pad's scale, 0 at rest and
 * 1 at a full touch, whichever wire it came by. Drift, hum and what neighbours put on the pad are
 * taken out; each level comes with the noise to expect in it.
 *
 * A pad without a calibration is watched for a moment, gives no level in that time, and starts
 * with a low guess of its span that its own touches correct. Readings of unknown inputs, of inputs
 * that are not wired and of pads marked unfit in the build are passed over.
 */
export function levels(
  plan: PadsPlan,
  rules: Pick<Rules, 'touch' | 'strength'>,
): Stage<LevelsState, WireEvent, LevelEvent> {
  const wiring = wiringOf(plan);
  const sure = leastFor(rules);
  /** Whether spans begin as guesses. */
  const guessed = plan.build === null && !plan.decided;
  const mixed: Unmixing | null = plan.build ? unmixing(plan.build.pads) : null;

  function beginPad(pad: number): PadState | null {
    const known = plan.decided ? decidedPad(plan.full) : plan.build?.pads[pad];
    if (known === null) return null;
    return {
      rest: restAt(known?.rest ?? 0, known ? firstSigma(known.noise) : 0),
      span: known?.span ?? 1,
      change: 0,
      learning: known ? null : startLearning(),
      settling: known && !plan.decided ? startLearning() : null,
      spanning: newSpanLearning(),
    };
  }

  function begin(): LevelsState {
    return {
      pads: Array.from({ length: plan.pads }, (_, pad) => beginPad(pad)),
      mains: newMains(),
      shown: 0,
      assume: NEVER,
      begun: false,
      read: new Float64Array(plan.pads),
      own: new Float64Array(plan.pads),
    };
  }

  /** Returns the level of the last reading that was watched; 0 where there was none. */
  function endLearning(pad: PadState): number {
    const seen = pad.learning ?? startLearning();
    const found = guess(seen, plan.full);
    pad.rest = restAt(found.rest, firstSigma(found.noise));
    pad.span = found.span;
    pad.learning = null;
    return ((seen.raws.at(-1) ?? found.rest) - found.rest) / found.span;
  }

  /**
   * A calibrated pad has drifted since it was calibrated. What it reads at first is its rest, unless
   * that is so far off that a finger must be on it. What a thumb on a neighbour adds is no part of it.
   * Gives its own change from the rest as it is then.
   */
  function settle(pad: PadState, seen: Learning, t: Micros, own: number): number {
    const { rest, span } = pad;
    if (t < seen.until) learn(seen, t, rest.value + own);
    if (t < seen.until) return own;
    pad.settling = null;
    const off = median(seen.raws) - rest.value;
    if (Math.abs(off) >= TOUCHED * Math.abs(span)) return own;
    rest.value += off;
    rest.touched = false;
    return own - off;
  }

  /** Until rest and hum are known, only what is twice as sure counts. */
  const noiseOf = (pad: PadState): number =>
    plan.decided ? 0 : ((pad.settling ? 2 : 1) * pad.rest.sigma) / Math.abs(pad.span);

  function levelsOf(state: LevelsState, t: Micros, pads: number[], values: number[]): Levels {
    return {
      type: 'levels',
      t,
      pads,
      levels: values,
      noise: pads.map((i) => noiseOf(state.pads[i]!)),
      ...(guessed && { known: knownIn(state, pads) }),
    };
  }

  function knownIn({ pads: all, shown }: LevelsState, pads: readonly number[]): number[] {
    return pads.map((i) => {
      const { spanning } = all[i]!;
      return knownOf(spanning, spanning.shown ? shown - 1 : shown);
    });
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
    if (pads.length === 0) return null;
    return levelsOf(state, t, pads, new Array<number>(pads.length).fill(0));
  }

  /** What of each pad's level is its own. */
  function ownLevels(state: LevelsState): Float64Array {
    state.pads.forEach((pad, i) => (state.read[i] = pad ? pad.change / pad.span : 0));
    if (mixed) unmix(mixed, state.read, state.own);
    return mixed ? state.own : state.read;
  }

  function onScan(state: LevelsState, scan: Scan): readonly LevelEvent[] {
    const { t, inputs, raws } = scan;
    const pads: number[] = [];
    const read: number[] = [];
    const learned: number[] = [];
    const ends: number[] = [];
    let before: Levels | null = null;
    if (!state.begun) {
      state.begun = true;
      if (plan.decided) before = assumeRest(state, t);
      else if (!plan.build && plan.full <= SPARSE_FULL) state.assume = t + LEARN_FOR;
    }
    mainsAt(t, state.mains);
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
        ends.push(endLearning(pad));
        learned.push(index);
      }
      pad.change = changeOf(pad.rest, raw, state.mains);
      pads.push(index);
      read.push(raw);
    }
    if (pads.length === 0) return before ? [before] : NOTHING;
    // Where a pad was left is told too: on a wire that tells only changes it was at rest since.
    if (learned.length > 0) before = levelsOf(state, t, learned, ends);
    const now = judge(state, t, pads, read);
    return before ? [before, now] : [now];
  }

  /** Once all changes of a scan are known: what is each pad's own, and what follows from it. */
  function judge(state: LevelsState, t: Micros, pads: number[], read: readonly number[]): Levels {
    const values = new Array<number>(pads.length);
    const noise = new Array<number>(pads.length);
    const owns = ownLevels(state);
    for (let i = 0; i < pads.length; i++) {
      const pad = state.pads[pads[i]!]!;
      let own = owns[pads[i]!]! * pad.span;
      if (pad.settling) own = settle(pad, pad.settling, t, own);
      const level = own / pad.span;
      values[i] = level;
      noise[i] = noiseOf(pad);
      if (plan.decided) continue;
      const thresholds = raised(rules.touch, sure * noise[i]!);
      followRest(pad.rest, read[i]!, own, level, state.read[pads[i]!]!, state.mains, thresholds);
      if (!guessed) continue;
      const { shown } = pad.spanning;
      pad.span = followSpan(pad.spanning, pad.span, level);
      if (shown || !pad.spanning.shown) continue;
      state.shown += 1;
      shareSpans(state);
    }
    const known = guessed && { known: knownIn(state, pads) };
    return { type: 'levels', t, pads, levels: values, noise, ...known };
  }

  /** Pads of one unit are alike: until a pad shows its own span, it has the middle one of the others. */
  function shareSpans({ pads }: LevelsState): void {
    const known = pads.flatMap((pad) => (pad?.spanning.shown ? [pad.span] : []));
    const middle = median(known);
    for (const pad of pads) {
      // One that is touched just now is about to show its own, on the scale that it began with.
      if (!pad || pad.learning || pad.spanning.shown || pad.spanning.peak > 0) continue;
      pad.span = Math.max(pad.span, middle);
    }
  }

  function onReset(state: LevelsState, reset: Reset): LevelsState {
    // A unit that went away may come back as another one: what was learned of it is forgotten.
    if (reset.why === 'lost') return begin();
    // A board that decides itself says nothing of pads that stay as they are, so none would be seen at rest.
    if (plan.decided) state.begun = false;
    return state;
  }

  function onWake(state: LevelsState, t: Micros): readonly LevelEvent[] {
    if (t < state.assume) return NOTHING;
    state.assume = NEVER;
    const assumed = assumeRest(state, t);
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
        // A wake-up, or what is nothing of a pad.
        default: {
          const out = onWake(state, event.t);
          return { state, out, wake: state.assume };
        }
      }
    },
  };
}
