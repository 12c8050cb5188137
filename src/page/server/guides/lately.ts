import { Subject } from 'rxjs';
import { checkSteps } from '../../../check/check.js';
import { wiringOf } from '../../../pads/plan.js';
import { logged } from '../../../wiring/scan-log.js';
import type { Steps } from '../../../calibration/steps.js';
import { touchLog, type TouchLog } from '../../../wiring/touch-log.js';
import { watchInputs, type WireKey } from '../../../wiring/watch.js';
import { SECOND, type Micros } from '../../../time/micros.js';
import { through } from '../../../time/through.js';
import type { WireEvent } from '../../../wire/scan.js';
import type { PadVerdict } from '../../link/state.js';
import type { GuidedSeat } from './guides.js';
import { guideClock, passing } from './guiding.js';
import { padVerdicts } from './verdicts.js';

/** What was heard of a pad longer ago than this says nothing of it now. */
const LASTS: Micros = 600 * SECOND;
/** Verdicts are made again no sooner than this after the last ones, and after a while in any case. */
const SOONEST: Micros = SECOND;
const LATEST: Micros = 5 * SECOND;

/** Whoever goes on touching pads touches the next one sooner than this. */
const PAUSE: Micros = 5 * SECOND;

/** So long it takes to tell a held pad from one that is being played: what the log keeps of all readings. */
const EARLY: Micros = 12 * SECOND;

/** What was heard lately of a seat's pads, each by itself. */
export interface Lately {
  /** As the seat plays now: its wiring may have changed. */
  plan(now: GuidedSeat): void;
  next(event: WireEvent): void;
  tick(t: Micros): void;
  /** Whether verdicts are to be made again. */
  due(t: Micros): boolean;
  /** Makes verdicts of what is known now, in small pieces. */
  verdicts(t: Micros): Steps<readonly PadVerdict[]>;
}

export function lately(first: GuidedSeat): Lately {
  let seat = first;
  let made: Micros = -Infinity;
  let log: TouchLog;
  let events: Subject<WireEvent | WireKey>;
  let heard = false;
  let since: Micros | null = null;

  function begin(): void {
    log = touchLog(1, LASTS);
    events = new Subject();
    heard = false;
    since = null;
    const watching = logged(watchInputs(seat.pads), log);
    events.pipe(through(watching, guideClock())).subscribe();
  }

  begin();
  return {
    plan(now) {
      const same = now.pads.full === seat.pads.full && now.pads.pads === seat.pads.pads;
      seat = now;
      made = -Infinity;
      if (!same) begin();
    },
    next(event) {
      // What comes back may be another unit.
      if (event.type === 'reset' && event.why === 'lost') begin();
      else events.next(event);
      if (event.type === 'scan' && event.inputs.length > 0) {
        heard = true;
        since ??= event.t;
      }
    },
    tick(t) {
      events.next(passing(t));
    },
    due(t) {
      if (!heard || t - made < SOONEST) return false;
      return t - made >= LATEST || log.fresh;
    },
    *verdicts(t) {
      made = t;
      const { scans } = log;
      yield;
      const { instrument, pads } = seat;
      const { full, build, numbered = false } = pads;
      const { together } = log;
      const unit = { instrument, wiring: wiringOf(pads), full, build, numbered, together };
      const { check } = yield* checkSteps(scans, unit);
      const early = t - (since ?? t) < EARLY;
      return padVerdicts(check, instrument, t - log.touchedLast >= PAUSE, early);
    },
  };
}
