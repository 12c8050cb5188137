import { watch as systemWatch, type FSWatcher } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { nodeTimers, type Timers } from '../live-clock.js';

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

/** The longest wait for what the system does not report. */
const LOOK_MS = 300;
/** After a report from the system: a save is several of them. */
const HINT_MS = 10;
/** An editor's save is several changes, of a file that may be gone in between. */
const QUIET_MS = 30;
/** A file that changes without an end is read all the same. */
const MOST_QUIET_LOOKS = 20;

/**
 * Looks at files again and again, by their paths, and at once where the system reports a change in one of their
 * folders. Its reports alone are not enough: they are of the one folder that it has hold of, not of what comes in
 * its place when that is moved away, replaced, or behind a link, nor of what other computers change on a shared
 * disk.
 */
export function watchFiles({ paths, changed, timers = nodeTimers }: FileWatchOptions): FileWatch {
  /** What each was like; null: no file. */
  const known = new Map<string, string | null>();
  let cancel: () => void = () => undefined;
  let closed = false;
  const fresh = new Set<string>();
  let looks = 0;
  let looking = false;
  let hinted = false;
  const hints = folderHints(() => {
    hinted = true;
    // A look that is underway sees to it at its end; and the next look after a change comes soon.
    if (!looking && fresh.size === 0 && !closed) again(HINT_MS);
  });

  function again(ms: number): void {
    cancel();
    cancel = timers.after(ms, () => void look());
  }

  async function look(): Promise<void> {
    looking = true;
    hinted = false;
    const paths = [...known.keys()];
    const states = await Promise.all(paths.map(stateOf));
    looking = false;
    if (closed) return;
    let moved = false;
    let comings = false;
    for (const [i, path] of paths.entries()) {
      const state = states[i]!;
      if (!known.has(path) || known.get(path) === state) continue;
      comings ||= state === null || known.get(path) === null;
      known.set(path, state);
      fresh.add(path);
      moved = true;
    }
    // The folder may be another one now.
    if (comings) hints.follow(known.keys(), true);
    looks = fresh.size > 0 ? looks + 1 : 0;
    if (fresh.size > 0 && (!moved || looks > MOST_QUIET_LOOKS)) {
      const all = [...fresh];
      fresh.clear();
      looks = 0;
      changed(all);
    }
    again(fresh.size > 0 ? QUIET_MS : hinted ? HINT_MS : LOOK_MS);
  }

  async function watch(now: readonly string[]): Promise<boolean> {
    const wanted = new Set(now);
    for (const path of known.keys()) if (!wanted.has(path)) known.delete(path);
    const others = [...wanted].filter((path) => !known.has(path));
    const states = await Promise.all(others.map(stateOf));
    for (const [i, path] of others.entries()) known.set(path, states[i]!);
    if (!closed) hints.follow(known.keys());
    return others.length > 0;
  }

  return {
    ready: watch(paths).then(look),
    watch,
    missing: () => [...known].flatMap(([path, state]) => (state === null ? [path] : [])),
    close() {
      closed = true;
      cancel();
      hints.close();
    },
  };
}

interface FolderHints {
  /** @param again also where the folder of that path has been followed before */
  follow(paths: Iterable<string>, again?: boolean): void;
  close(): void;
}

/** Calls `hint` where the system reports that something in the folders of these files has changed. */
function folderHints(hint: () => void): FolderHints {
  const open = new Map<string, FSWatcher>();

  function end(folder: string): void {
    open.get(folder)?.close();
    open.delete(folder);
  }

  function begin(folder: string): void {
    try {
      const watcher = systemWatch(folder, { persistent: false }, hint);
      open.set(folder, watcher);
      watcher.on('error', () => {
        if (open.get(folder) === watcher) end(folder);
      });
    } catch {
      // No such folder, or no watches left: looking at the paths finds every change, only later.
    }
  }

  return {
    follow(paths, again = false) {
      const wanted = new Set([...paths].map((path) => dirname(path)));
      for (const folder of [...open.keys()]) if (again || !wanted.has(folder)) end(folder);
      for (const folder of wanted) if (!open.has(folder)) begin(folder);
    },
    close() {
      for (const folder of [...open.keys()]) end(folder);
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
