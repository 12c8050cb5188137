import { relative, resolve } from 'node:path';
import { FileFault, problemWhat, problemWhere } from '../instrument/fault.js';
import type { Tell } from './contracts.js';
import { watchFiles } from './file-watch.js';
import { loadWholeRoom, type ReadySeat, type WholeRoom } from './files-room.js';
import { nodeTimers, type Timers } from './live-clock.js';
import { difference, type RoomDifference } from './room-difference.js';
import type { Service } from './service.js';

export interface LiveRoomOptions {
  /** As it was asked for. */
  readonly name: string;
  readonly folder: string;
  /** As it plays. */
  readonly whole: WholeRoom;
  readonly service: Pick<Service, 'change' | 'swap'>;
  readonly tell: Tell;
  /** Told of the seats as the files say they are now, after that has taken effect. */
  readonly onSeats?: (seats: readonly ReadySeat[]) => void;
  readonly timers?: Timers;
}

/** Has saved files take effect while the room plays. */
export interface LiveRoom {
  /** Resolves once saved files are seen. */
  readonly ready: Promise<void>;
  /** The room as it plays now. */
  readonly whole: WholeRoom;
  /** Reads the files anew, without waiting to see that one was saved; resolves once that has had its effect. */
  reload(): Promise<void>;
  close(): Promise<void>;
}

/** A file that is being written anew may be gone or half there for a moment. */
const AGAIN_MS = 60;
const TRIES = 4;

/**
 * Watches the room's file and all that it names. What was saved takes effect at once; with a fault in
 * any of them nothing changes, and the fault is told with its line and mend.
 */
export function liveRoom(options: LiveRoomOptions): LiveRoom {
  const { name, folder, service, tell, timers = nodeTimers } = options;
  let whole = options.whole;
  let cancel: () => void = () => undefined;
  let closed = false;
  let loading = false;
  let again = false;
  let told = '';
  /** Who waits for what was read last to have had its effect. */
  const waiting: (() => void)[] = [];

  function saved(): void {
    if (loading) again = true;
    else void load(1);
  }

  async function load(attempt: number): Promise<void> {
    loading = true;
    let later = false;
    try {
      const now = await loadWholeRoom(name, folder);
      if (!closed) apply(now);
    } catch (error) {
      later = !closed && attempt < TRIES;
      if (later) {
        cancel();
        cancel = timers.after(AGAIN_MS, () => void load(attempt + 1));
      } else if (!closed) complain(error);
    } finally {
      loading = false;
    }
    if (again && !closed) {
      again = false;
      saved();
    } else if (!later) settle();
  }

  function settle(): void {
    for (const resolve of waiting.splice(0)) resolve();
  }

  function apply(now: WholeRoom): void {
    const changes = difference(whole, now);
    whole = now;
    watching.watch(now.files);
    for (const { seat, swap } of changes.swaps) service.swap(seat, swap);
    for (const wish of changes.wishes) service.change(wish);
    options.onSeats?.(now.seats);
    if (told !== '') tell({ level: 'info', what: 'The files are right again' });
    told = '';
    for (const notice of words(changes, now)) tell({ level: 'info', ...notice });
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
    // A file that is named only now is watched too, so that mending it is enough.
    watching.watch([...whole.files, ...error.problems.map(({ file }) => resolve(file))]);
    for (const problem of error.problems) {
      tell({
        level: 'warn',
        what: problemWhat(problem),
        where: problemWhere(problem),
        next: `${problem.mend}. ${next}`,
      });
    }
  }

  const watching = watchFiles(whole.files, saved, timers);
  return {
    ready: watching.ready,
    get whole() {
      return whole;
    },
    reload: () =>
      new Promise((resolve) => {
        waiting.push(resolve);
        if (closed) settle();
        else saved();
      }),
    async close() {
      closed = true;
      cancel();
      settle();
      await watching.close();
    },
  };

  function words(
    { swaps, wishes, later }: RoomDifference,
    now: WholeRoom,
  ): { what: string; where?: string; next?: string }[] {
    const seatName = (seat: number): string => now.seats[seat]?.seat.name ?? String(seat);
    const of = (seat: number): string => `seat ${seatName(seat)}`;
    const notices = swaps.map(({ seat, swap }) => {
      const parts = Object.keys(swap).join(', ');
      const file = swap.rules ? ` (${relative(folder, now.seats[seat]!.rulesFile)})` : '';
      return { what: `New ${parts} in effect${file}`, where: of(seat) };
    });
    const mixes = wishes.map((wish) =>
      wish.type === 'seat-change'
        ? { what: 'How it sounds among the others has changed', where: of(wish.seat) }
        : { what: 'What the room shares has changed' },
    );
    const others = later.map((what) => ({
      what: `In the room file, ${what} has changed`,
      next: 'That counts when you end the room and play it anew',
    }));
    return [...notices, ...mixes, ...others];
  }
}
