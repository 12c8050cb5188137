import type { Timers } from '../../ports/live-clock.js';
import type { Change } from '../../room/change.js';
import type { Join } from '../../pipeline.js';
import type { Leave } from '../../room/seating.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { Seated } from '../../time/alongside.js';
import type { WireEvent } from '../../wire/scan.js';

/** Readings wait no longer than this to be sent on. */
const BATCH_MS = 40;
/** More than a class of 32 units sends in that time; beyond it readings are left out, and that is said. */
export const MOST_EVENTS = 4_000;

export interface Batch {
  readonly events: readonly RoomTakeEvent[];
  /** The slots of which something is missing before these. */
  readonly lost: readonly number[];
}

/** Sends on what came in of the seats that were asked for. Seats are slots. */
export interface Readings {
  /** @param seats null: all, and those that come later */
  ask(seats: readonly number[] | null): void;
  /** The seat has left: what was missing of it is missing of nobody who gets its slot. */
  left(seat: number): void;
  reading(event: Seated<WireEvent>): void;
  change(change: Change): void;
  /** Somebody joins or leaves, for whoever asked for all. */
  seating(event: Join | Leave): void;
  /** Sends what is waiting. */
  flush(): void;
  stop(): void;
}

/**
 * @param post sends a batch on
 * @param seats those in the room now
 * @param may false while whoever takes them does not keep up: then they are lost, and counted so
 */
export function readings(
  post: (batch: Batch) => void,
  may: () => boolean,
  seats: () => Iterable<number>,
  timers: Timers,
): Readings {
  /** null: all. */
  let asked: Set<number> | null = new Set();
  let events: RoomTakeEvent[] = [];
  /** Of which something is missing before the next batch, and before the one after it. */
  let before = new Set<number>();
  let missed = new Set<number>();
  let cancel: (() => void) | null = null;

  function add(event: RoomTakeEvent): void {
    if (events.length < MOST_EVENTS) events.push(event);
    else if (event.type === 'seated') missed.add(event.seat);
    else missedByAll();
    cancel ??= timers.after(BATCH_MS, flush);
  }

  /** A change that is missing is missing of every seat. */
  function missedByAll(): void {
    for (const seat of asked ?? seats()) missed.add(seat);
  }

  function flush(): void {
    cancel?.();
    cancel = null;
    if (events.length === 0) return;
    if (may()) {
      post({ events, lost: [...before].filter((seat) => asked?.has(seat) ?? true) });
      before = missed;
    } else {
      missedByAll();
      for (const seat of missed) before.add(seat);
    }
    missed = new Set();
    events = [];
  }

  return {
    ask(wanted) {
      flush();
      asked = wanted && new Set(wanted);
    },
    left(seat) {
      flush();
      asked?.delete(seat);
      before.delete(seat);
      missed.delete(seat);
    },
    reading(event) {
      if (asked?.has(event.seat) ?? true) add(event);
    },
    change(change) {
      if (asked === null || asked.size > 0) add(change);
    },
    seating(event) {
      if (asked === null) add(event.type === 'join' ? posted(event) : event);
    },
    flush,
    stop() {
      asked = new Set();
      events = [];
      before = new Set();
      missed = new Set();
      cancel?.();
      cancel = null;
    },
  };
}

/** Without what stays in its thread. */
function posted({ plan: { instrument, pads, rules, made }, ...event }: Join): Join {
  return { ...event, plan: { instrument, pads, rules, ...(made === undefined ? {} : { made }) } };
}
