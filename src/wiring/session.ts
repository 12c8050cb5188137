import { Subject } from 'rxjs';
import { chain } from '../time/chain.js';
import type { Clock } from '../time/clock.js';
import { through } from '../time/through.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import { everyScan, logged, type ScanLog } from './scan-log.js';
import { learnWiring } from './wiring.js';
import type { WireKind } from './kind.js';
import type { WireEnd, WireNotice, WirePlan } from './notice.js';
import { watchInputs, type WireKey } from './watch.js';

/** A wiring while it is learned, live or from a take. */
export interface WireSession {
  next(event: WireEvent | WireKey): void;
  /** The readings so far, as far as they are kept. */
  readonly scans: readonly Scan[];
  /** Null until it ended. */
  readonly end: WireEnd | null;
}

/**
 * Begins to learn a wiring; `told` hears every notice, the last of which is `kept` or `left`.
 *
 * @param log which readings are kept
 */
export function wireSession(
  kind: WireKind,
  plan: WirePlan,
  clock: Clock,
  told: (notice: WireNotice) => void,
  log: ScanLog = everyScan(),
): WireSession {
  const events = new Subject<WireEvent | WireKey>();
  let end: WireEnd | null = null;
  const way = chain('wire', logged(watchInputs(kind), log), learnWiring(plan));
  const subscription = events
    .pipe(through<unknown, WireEvent | WireKey, WireNotice>(way, clock))
    .subscribe((notice) => {
      if (notice.type === 'kept' || notice.type === 'left') end = notice;
      told(notice);
    });
  return {
    next(event) {
      if (end) return;
      events.next(event);
      if (end) subscription.unsubscribe();
    },
    get scans() {
      return log.scans;
    },
    get end() {
      return end;
    },
  };
}
