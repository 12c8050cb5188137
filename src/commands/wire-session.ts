import { Subject } from 'rxjs';
import { learnWiring } from '../pads/wire.js';
import type { WireKind } from '../pads/wire-kind.js';
import type { WireEnd, WireNotice, WirePlan } from '../pads/wire-notice.js';
import { watchInputs, type WireKey } from '../pads/wire-watch.js';
import { chain } from '../time/chain.js';
import type { Clock } from '../time/clock.js';
import { through } from '../time/through.js';
import type { Scan, WireEvent } from '../wire/scan.js';

/** A wiring while it is learned, live or from a take. */
export interface WireSession {
  next(event: WireEvent | WireKey): void;
  /** All readings so far. */
  readonly scans: readonly Scan[];
  /** Null until it ended. */
  readonly end: WireEnd | null;
}

/** Begins to learn a wiring; `told` hears every notice, the last of which is `kept` or `left`. */
export function wireSession(
  kind: WireKind,
  plan: WirePlan,
  clock: Clock,
  told: (notice: WireNotice) => void,
): WireSession {
  const events = new Subject<WireEvent | WireKey>();
  const scans: Scan[] = [];
  let end: WireEnd | null = null;
  const way = chain('wire', watchInputs(kind), learnWiring(plan));
  const subscription = events
    .pipe(through<unknown, WireEvent | WireKey, WireNotice>(way, clock))
    .subscribe((notice) => {
      if (notice.type === 'kept' || notice.type === 'left') end = notice;
      told(notice);
    });
  return {
    next(event) {
      if (end) return;
      if (event.type === 'scan') scans.push(event);
      events.next(event);
      if (end) subscription.unsubscribe();
    },
    scans,
    get end() {
      return end;
    },
  };
}
