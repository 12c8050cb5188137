import { watch } from 'chokidar';
import type { Timers } from './live-clock.js';
import { nodeTimers } from './live-clock.js';

/** Watches files that people save. */
export interface FileWatch {
  /** Watches these, and no others any more. */
  watch(paths: readonly string[]): void;
  /** Resolves once changes are seen. */
  readonly ready: Promise<void>;
  close(): Promise<void>;
}

/** An editor's save is several events, of a file that may be gone in between. */
const QUIET_MS = 20;

/** @param saved called once the files have been quiet for a moment after one was saved */
export function watchFiles(
  paths: readonly string[],
  saved: () => void,
  timers: Timers = nodeTimers,
): FileWatch {
  let cancel: () => void = () => undefined;
  let known = new Set(paths);
  const watcher = watch([...known], { ignoreInitial: true, atomic: false });
  const ready = new Promise<void>((resolve) => {
    watcher.once('ready', resolve);
  });
  watcher.on('all', () => {
    cancel();
    cancel = timers.after(QUIET_MS, saved);
  });
  watcher.on('error', () => {
    // A folder that cannot be watched leaves the files as they are: nothing takes effect by itself.
  });
  return {
    ready,
    watch(now) {
      const next = new Set(now);
      const gone = [...known].filter((path) => !next.has(path));
      const fresh = [...next].filter((path) => !known.has(path));
      if (gone.length > 0) watcher.unwatch(gone);
      if (fresh.length > 0) watcher.add(fresh);
      known = next;
    },
    async close() {
      cancel();
      // A file that goes away just then has chokidar 5 begin anew, and the program would never end.
      watcher.add = () => watcher;
      await watcher.close();
    },
  };
}
