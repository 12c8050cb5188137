import { existsSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import type { Rules } from '../../instrument/types.js';
import type { Tell } from '../contracts.js';
import type { FilesThreadData, FromFiles, Read, RoomRead, ToFiles } from './shared.js';
import { nodeTimers, type Timers } from '../live-clock.js';

export interface FilesThreadOptions {
  /** What the thread is started with, as everything is by then. */
  readonly data: () => FilesThreadData;
  /** Told the room each time its files have changed. */
  readonly onRoom: (read: RoomRead) => void;
  readonly tell: Tell;
  readonly timers?: Timers;
}

/** Watches and reads a room's files in a thread of its own, so that no file can hold up playing. */
export interface FilesThread {
  /** Resolves once changes are seen. */
  readonly ready: Promise<void>;
  /** Reads the room now. */
  room(): Promise<RoomRead>;
  /** Reads rules by name. */
  rules(name: string): Promise<Read<Rules>>;
  close(): Promise<void>;
}

/** Beside this file when built; where the sources run by themselves (in tests), what was built last. */
const BUILT = new URL('./worker.js', import.meta.url);
const FILE = existsSync(BUILT)
  ? BUILT
  : new URL('../../../dist/ports/files/worker.js', import.meta.url);

/** Far more than the largest file within its limits needs. */
const LIMITS = { maxOldGenerationSizeMb: 256 };
/** The largest files take some seconds on a small computer. */
const LONGEST_MS = 30_000;
const RESTART_MS = 1_000;

const TOO_LONG = 'reading the files took too long, or too much memory';

/** Starts the thread, and once more whenever it fails: what was asked of it then is answered with that. */
export function filesThread(options: FilesThreadOptions): FilesThread {
  const { data, onRoom, tell, timers = nodeTimers } = options;
  let thread: Worker | null = null;
  let closed = false;
  let count = 0;
  let again: () => void = () => undefined;
  let late: (() => void) | null = null;
  let readied: () => void = () => undefined;
  const ready = new Promise<void>((resolve) => (readied = resolve));
  const rooms = new Map<number, (read: RoomRead) => void>();
  const rules = new Map<number, (read: Read<Rules>) => void>();

  function launch(): void {
    const own = new Worker(FILE, {
      workerData: data(),
      execArgv: [],
      resourceLimits: LIMITS,
      name: 'files',
    });
    let why = TOO_LONG;
    own.on('message', (message: FromFiles) => {
      if (own === thread) hear(message);
    });
    own.on('error', (error: unknown) => {
      const { code, message } = error as NodeJS.ErrnoException;
      if (code !== 'ERR_WORKER_OUT_OF_MEMORY') why = message;
    });
    own.on('exit', () => {
      if (own === thread) gone(why);
    });
    // It never keeps the program from ending.
    own.unref();
    thread = own;
  }

  function hear(message: FromFiles): void {
    if (message.type === 'ready') {
      readied();
      return;
    }
    if (message.type === 'reading') {
      late ??= timers.after(LONGEST_MS, tooLate);
      return;
    }
    if (message.type === 'rules') {
      rules.get(message.id)?.(message.rules);
      rules.delete(message.id);
    } else if (message.id === null) {
      onRoom(message);
    } else {
      rooms.get(message.id)?.(message);
      rooms.delete(message.id);
    }
    onTime();
  }

  /** Whoever waits for an answer does so only for a while. */
  function onTime(): void {
    late?.();
    late = null;
    if (rooms.size + rules.size > 0) late = timers.after(LONGEST_MS, tooLate);
  }

  function tooLate(): void {
    late = null;
    void thread?.terminate();
  }

  function gone(why: string): void {
    thread = null;
    late?.();
    late = null;
    for (const answer of rooms.values()) answer({ room: { failed: why }, gone: [] });
    for (const answer of rules.values()) answer({ failed: why });
    rooms.clear();
    rules.clear();
    readied();
    if (closed) return;
    tell({
      level: 'warn',
      what: `Saved files could not be read: ${why}`,
      next: 'What was there before plays on. Check the file that was saved last, then save it again',
    });
    again = timers.after(RESTART_MS, launch);
  }

  function ask(message: ToFiles): void {
    thread?.postMessage(message);
    late ??= timers.after(LONGEST_MS, tooLate);
  }

  launch();
  return {
    ready,
    room: () =>
      new Promise((resolve) => {
        if (!thread) return resolve({ room: { failed: TOO_LONG }, gone: [] });
        const id = (count += 1);
        rooms.set(id, resolve);
        return ask({ read: 'room', id });
      }),
    rules: (name) =>
      new Promise((resolve) => {
        if (!thread) return resolve({ failed: TOO_LONG });
        const id = (count += 1);
        rules.set(id, resolve);
        return ask({ read: 'rules', id, name });
      }),
    async close() {
      closed = true;
      again();
      await thread?.terminate();
    },
  };
}
