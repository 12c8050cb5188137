import { FileFault, problemWhat, problemWhere } from '../../instrument/fault.js';
import type { Rules } from '../../instrument/types.js';
import type { Notice, Tell } from '../contracts.js';
import { shown } from '../files/find.js';
import { playsOf, type WholeRoom } from '../files/room.js';
import type { Read, RoomRead } from '../files/shared.js';
import { filesThread } from '../files/thread.js';
import type { Timers } from '../live-clock.js';
import { tryLogics, tryRules } from '../logic/load.js';

export interface LiveRoomOptions {
  /** As it was asked for. */
  readonly name: string;
  readonly folder: string;
  /** As it plays. */
  readonly whole: WholeRoom;
  readonly tell: Tell;
  /**
   * Has the playing room be as the files say now. Where it rejects, nothing has changed.
   *
   * @returns what people are told of it
   */
  readonly apply: (before: WholeRoom, now: WholeRoom) => Promise<readonly Notice[]>;
  readonly timers?: Timers;
}

/** Has saved files take effect while the room plays. */
export interface LiveRoom {
  /** Resolves once saved files are seen. */
  readonly ready: Promise<void>;
  /** The room as it plays now. */
  readonly whole: WholeRoom;
  /**
   * Reads rules by name.
   *
   * @throws FileFault
   */
  rules(name: string): Promise<Rules>;
  /** Reads the files again, without waiting to see that one was saved; resolves once that has had its effect. */
  reload(): Promise<void>;
  close(): Promise<void>;
}

/**
 * Watches the room's file and all that it names. What was saved takes effect at once; with a fault in
 * any of them nothing changes, and the fault is told with its line and fix.
 */
export function liveRoom(options: LiveRoomOptions): LiveRoom {
  const { name, folder, tell } = options;
  let whole = options.whole;
  let closed = false;
  let told = '';
  /** Files of the room that are gone, as people were told. */
  let gone: readonly string[] = [];
  /** What was read last and has not had its effect yet, and what is to be done then. */
  let next: RoomRead | null = null;
  let waiting: (() => void)[] = [];
  let working = false;

  const files = filesThread({
    data: () => ({ name, folder, looked: whole.looked, files: whole.files }),
    onRoom: take,
    tell,
    ...(options.timers && { timers: options.timers }),
  });

  /** One at a time, and only the latest: a module is tried before it has its effect, which takes a while. */
  function take(read: RoomRead, done?: () => void): void {
    next = read;
    if (done) waiting.push(done);
    if (!working) void work();
  }

  async function work(): Promise<void> {
    working = true;
    while (next) {
      const read: RoomRead = next;
      const over = waiting;
      next = null;
      waiting = [];
      tellGone(read.gone);
      try {
        const now = valueOf(read.room);
        await tryLogics(playsOf(now));
        if (!closed) await apply(now);
      } catch (error) {
        // Where files are gone, all that is wrong may be that.
        if (!closed && read.gone.length === 0) complain(error);
      }
      for (const done of over) done();
    }
    working = false;
  }

  /** Says once which files are gone, and that they are back. */
  function tellGone(now: readonly string[]): void {
    const fresh = now.filter((path) => !gone.includes(path));
    const back = gone.filter((path) => !now.includes(path));
    gone = now;
    if (closed) return;
    if (fresh.length > 0) {
      const one = fresh.length === 1;
      tell({
        level: 'warn',
        what: `${listed(fresh)} ${one ? 'is' : 'are'} gone`,
        next: `What ${one ? 'it' : 'they'} said plays on. Put ${one ? 'it' : 'them'} back, and ${one ? 'it counts' : 'they count'} again`,
      });
    }
    if (back.length > 0) {
      tell({ level: 'info', what: `${listed(back)} ${back.length === 1 ? 'is' : 'are'} back` });
    }
  }

  async function apply(now: WholeRoom): Promise<void> {
    const news = await options.apply(whole, now);
    whole = now;
    if (told !== '') tell({ level: 'info', what: 'The files are right again' });
    told = '';
    for (const notice of news) tell(notice);
  }

  function complain(error: unknown): void {
    const message = (error as Error).message;
    if (message === told) return;
    told = message;
    const next = 'What was there before goes on; it is read again when it is saved';
    if (!(error instanceof FileFault)) {
      tell({ level: 'warn', what: message, next });
      return;
    }
    for (const problem of error.problems) {
      tell({
        level: 'warn',
        what: problemWhat(problem),
        where: problemWhere(problem),
        next: `${problem.fix}${/[.?!]$/.test(problem.fix) ? '' : '.'} ${next}`,
      });
    }
  }

  return {
    ready: files.ready,
    get whole() {
      return whole;
    },
    async rules(wanted) {
      const read = await files.rules(wanted);
      if ('failed' in read) throw unread(wanted, read.failed);
      const rules = valueOf(read);
      await tryRules(rules);
      return rules;
    },
    async reload() {
      const read = await files.room();
      if (!closed)
        await new Promise<void>((resolve) => {
          take(read, resolve);
        });
    },
    async close() {
      closed = true;
      await files.close();
    },
  };
}

function unread(file: string, why: string): FileFault {
  const [found, allowed] = [`what cannot be read (${why})`, 'a rules file'];
  return new FileFault([{ file, at: null, key: '', found, allowed, fix: 'Check the file' }]);
}

/** What was read; throws what is wrong with it. */
function valueOf<Value>(read: Read<Value>): Value {
  if ('value' in read) return read.value;
  throw 'problems' in read ? new FileFault(read.problems) : new Error(read.failed);
}

/** @example 'rules/mine.yaml, rules/yours.yaml and 3 more files' */
function listed(paths: readonly string[]): string {
  const [a = '', b, ...more] = paths.map((path) => shown(path));
  if (b === undefined) return a;
  if (more.length === 0) return `${a} and ${b}`;
  return `${a}, ${b} and ${String(more.length)} more ${more.length === 1 ? 'file' : 'files'}`;
}
