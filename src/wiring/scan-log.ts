import type { Micros } from '../time/micros.js';
import type { AnyStage } from '../time/stage.js';
import type { Scan, WireEvent } from '../wire/scan.js';
import type { WatchEvent, WatchState, WireKey } from './watch.js';

/** Which readings of a unit are kept while its pads are touched one by one. */
export interface ScanLog {
  /** A reading has come. */
  scan(scan: Scan): void;
  /** What was made of the readings so far. */
  watched(event: WatchEvent): void;
  /** Since when something has been touched that is not over yet; null: nothing is. */
  touching(since: Micros | null): void;
  /** What is kept now, by time. */
  readonly scans: readonly Scan[];
}

/** Keeps all. */
export function everyScan(): ScanLog {
  const scans: Scan[] = [];
  return {
    scan: (scan) => void scans.push(scan),
    watched: () => undefined,
    touching: () => undefined,
    scans,
  };
}

type Watching = AnyStage<WireEvent | WireKey, WatchEvent>;

/** The same stage, with a log of what went in and out of it. */
export function logged(watching: Watching, log: ScanLog): Watching {
  return {
    ...watching,
    step(state, event) {
      if (event.type === 'scan') log.scan(event);
      const outcome = watching.step(state, event);
      for (const out of outcome.out) log.watched(out);
      log.touching((outcome.state as WatchState).touch?.from ?? null);
      return outcome;
    },
  };
}
