import { NEVER, type Micros } from '../../../time/micros.js';
import type { Steps } from '../../../calibration/steps.js';
import type { PadVerdict } from '../../link/state.js';
import type { GuidedSeat, Guides, GuidesOut } from './guides.js';
import { lately, type Lately } from './lately.js';
import { OneGuide } from './one-guide.js';

/**
 * Verdicts are made this long at a time, in milliseconds, but for the last piece (of 15 ms or so; twice
 * that on a slow computer), and take no larger share of all time.
 */
const AT_A_TIME_MS = 8;
const SHARE = 0.2;

const ELSEWHERE = 'Steps are on at another seat: end them first.';
const NONE = 'No steps are on: begin them first.';
const DECIDED = 'It needs no calibration: its board decides itself what is a touch.';
const MADE = 'Another computer makes its notes: wire and calibrate it there.';
const SAVING = 'Its build is being written: wait a moment.';

/** What cannot be learned of a seat; null where all can. */
function needless(kind: 'wire' | 'calibrate', { pads, made = false }: GuidedSeat): string | null {
  if (made) return MADE;
  return kind === 'calibrate' && pads.decided ? DECIDED : null;
}

/** Verdicts that are being made. */
interface Making {
  readonly seat: number;
  readonly steps: Steps<readonly PadVerdict[]>;
}

/**
 * @param stopwatch milliseconds on a clock that never falls, to keep work short
 */
export function makeGuides(
  out: GuidesOut,
  stopwatch: () => number = () => performance.now(),
): Guides {
  const watched = new Map<number, Lately>();
  let guide: OneGuide | null = null;
  let looked = true;
  let making: Making | null = null;
  /** When verdicts may be gone on with. */
  let rests: Micros = -NEVER;

  function drop(): void {
    guide = null;
    out.guide(null);
  }

  /** The seat whose verdicts are due, the one that has waited longest first. */
  function nextDue(t: Micros): Making | null {
    for (const [seat, one] of watched) {
      if (!one.due(t)) continue;
      // To the end of the line.
      watched.delete(seat);
      watched.set(seat, one);
      return { seat, steps: one.verdicts(t) };
    }
    return null;
  }

  function judge(t: Micros): void {
    if (t < rests) return;
    const begun = stopwatch();
    let spent = 0;
    making ??= nextDue(t);
    while (making && spent < AT_A_TIME_MS) {
      const { done, value } = making.steps.next();
      if (done) {
        out.verdicts(making.seat, value);
        making = nextDue(t);
      }
      spent = stopwatch() - begun;
    }
    rests = t + (spent * 1_000) / SHARE;
  }

  return {
    begin(seat, kind, plan, t) {
      if (guide?.saving) return SAVING;
      if (guide?.on && guide.seat !== seat) return ELSEWHERE;
      const refused = needless(kind, plan);
      if (refused !== null) return refused;
      guide = new OneGuide(seat, kind, plan, t, out);
      guide.looked(looked, t);
      return null;
    },
    do(seat, step, t) {
      if (guide?.seat !== seat) return NONE;
      if (step !== 'end') return guide.step(step, t);
      if (guide.saving) return SAVING;
      drop();
      return null;
    },
    built(seat, written) {
      if (guide?.seat === seat) guide.built(written);
    },
    scan(seat, event) {
      watched.get(seat)?.next(event);
      if (guide?.seat === seat) guide.scan(event);
    },
    gap(seat, t) {
      const reset = { type: 'reset', t, why: 'overflow' } as const;
      watched.get(seat)?.next(reset);
      if (guide?.seat === seat) guide.scan(reset);
    },
    watch(seat, plan) {
      if (making?.seat === seat) making = null;
      if (!plan || plan.made === true || plan.pads.decided) watched.delete(seat);
      else if (watched.has(seat)) watched.get(seat)!.plan(plan);
      else watched.set(seat, lately(plan));
    },
    left(seat) {
      if (making?.seat === seat) making = null;
      watched.delete(seat);
      if (guide?.seat === seat) drop();
    },
    looked(on, t) {
      looked = on;
      guide?.looked(on, t);
    },
    wake(t) {
      if (guide?.wake(t)) drop();
      for (const one of watched.values()) one.tick(t);
      judge(t);
    },
    get needs() {
      const seats = new Set(watched.keys());
      if (guide?.on) seats.add(guide.seat);
      return [...seats];
    },
  };
}
