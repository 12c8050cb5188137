import { stat } from 'node:fs/promises';
import { nodeTimers, type Timers } from './live-clock.js';

/** Watches files that people save. */
export interface FileWatch {
  /**
   * Watches these, and no others any more.
   *
   * @returns once changes of all of them are seen, whether some were not watched before: what of them
   *   was read until then may have changed since
   */
  watch(paths: readonly string[]): Promise<boolean>;
  /** Which of them there is no file at now. */
  missing(): string[];
  /** Resolves once every change from then on is seen. */
  readonly ready: Promise<void>;
  close(): void;
}

export interface FileWatchOptions {
  readonly paths: readonly string[];
  /** Called once the files have been quiet for a moment after some of them changed, went away or came back. */
  readonly changed: (paths: readonly string[]) => void;
  readonly timers?: Timers;
}

const LOOK_MS = 300;
/** An editor's save is several changes, of a file that may be gone in between. */
const QUIET_MS = 30;
/** A file that changes without an end is read all the same. */
const MOST_QUIET_LOOKS = 20;

/**
 * Looks at files again and again, by their paths. What the system itself tells of changes is not enough: it
 * tells of one file or folder that it has hold of, not of what comes in its place when that is moved away,
 * replaced, or behind a link; and it tells nothing of what other computers change on a shared disk.
 */
export function watchFiles({ paths, changed, timers = nodeTimers }: FileWatchOptions): FileWatch {
  /** What each was like; null: no file. */
  const known = new Map<string, string | null>();
  let cancel: () => void = () => undefined;
  let closed = false;
  const fresh = new Set<string>();
  let looks = 0;

  async function look(): Promise<void> {
    const paths = [...known.keys()];
    const states = await Promise.all(paths.map(stateOf));
    if (closed) return;
    let moved = false;
    for (const [i, path] of paths.entries()) {
      const state = states[i]!;
      if (!known.has(path) || known.get(path) === state) continue;
      known.set(path, state);
      fresh.add(path);
      moved = true;
    }
    looks = fresh.size > 0 ? looks + 1 : 0;
    if (fresh.size > 0 && (!moved || looks > MOST_QUIET_LOOKS)) {
      const all = [...fresh];
      fresh.clear();
      looks = 0;
      changed(all);
    }
    cancel = timers.after(fresh.size > 0 ? QUIET_MS : LOOK_MS, () => void look());
  }

  async function watch(now: readonly string[]): Promise<boolean> {
    const wanted = new Set(now);
    for (const path of known.keys()) if (!wanted.has(path)) known.delete(path);
    const others = [...wanted].filter((path) => !known.has(path));
    const states = await Promise.all(others.map(stateOf));
    for (const [i, path] of others.entries()) known.set(path, states[i]!);
    return others.length > 0;
  }

  return {
    ready: watch(paths).then(look),
    watch,
    missing: () => [...known].flatMap(([path, state]) => (state === null ? [path] : [])),
    close() {
      closed = true;
      cancel();
    },
  };
}

/** Another one for each other content, unless a file is changed twice within the system's tick. */
async function stateOf(path: string): Promise<string | null> {
  try {
    const is = await stat(path, { bigint: true });
    return is.isFile() ? [is.dev, is.ino, is.size, is.mtimeNs, is.ctimeNs].join() : null;
  } catch {
    return null;
  }
}
