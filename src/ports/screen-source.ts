import { Subject } from 'rxjs';
import { SCAN_EVERY } from '../demo/gestures.js';
import { screenHand, screenUnit, type ScreenHand, type UnitMaking } from '../demo/screen-unit.js';
import type { Seated } from '../time/alongside.js';
import { MILLISECOND, type Micros } from '../time/micros.js';
import type { WireEvent } from '../wire/scan.js';
import type { Source, Tell } from './contracts.js';
import { nodeTimers, type LiveClock, type Timers } from './live-clock.js';

/** Plays the units that are on the page, by finger or mouse. */
export interface ScreenPlay {
  /**
   * A finger is laid on a pad, or presses otherwise than before. Does nothing where the seat is none
   * of these, has no such pad, or is pulled out.
   *
   * @param strength 0 to 1: how firm it is
   */
  press(seat: number, pad: number, strength: number): void;
  /** The finger leaves the pad again; does nothing where none is there. */
  release(seat: number, pad: number): void;
  /** Pulls the unit out, as if its cable had come off, or plugs it in again. */
  plug(seat: number, plugged: boolean): void;
}

/** Those units: one source for all their seats. */
export interface ScreenSource extends Source, ScreenPlay {
  /** A seat is played on the page from now on. */
  add(seat: ScreenSeat): void;
  /** It is not any more: nothing comes of it after this. */
  remove(seat: number): void;
}

/** A seat that is played on the page. */
export interface ScreenSeat extends UnitMaking {
  readonly seat: number;
  /** Its unit is made up from this: the same one each time. */
  readonly name: string;
  /** Its pads as they are printed. */
  readonly order: readonly number[];
  /** The raw value of the board's full scale. */
  readonly full: number;
}

export interface ScreenOptions {
  readonly seats: readonly ScreenSeat[];
  readonly clock: LiveClock;
  readonly tell: Tell;
  readonly timers?: Timers;
}

/** A computer that was busy for longer than this is not made to catch up on it: those scans are lost. */
const MOST_BEHIND: Micros = 100 * MILLISECOND;

/**
 * Made-up units that report from the start, as boards do, and never end by themselves. Each scan
 * keeps its own time, so plain timers, which leave the processor alone, are good enough.
 */
export function screenSource({
  seats,
  clock,
  tell,
  timers = nodeTimers,
}: ScreenOptions): ScreenSource {
  const events = new Subject<Seated<WireEvent>>();
  const units = new Map<number, { name: string; hand: ScreenHand; plugged: boolean }>();
  let closed = false;
  let due: Micros = 0;
  let cancel: () => void = () => undefined;

  function add({ seat, name, order, full, ...making }: ScreenSeat): void {
    const unit = screenUnit(name, order, full, making);
    units.set(seat, { name, hand: screenHand(unit, name), plugged: true });
    if (units.size > 1 || closed) return;
    due = clock.now();
    cancel();
    cancel = timers.soon(scanDue);
  }

  for (const seat of seats) add(seat);

  function scanDue(): void {
    const now = clock.now();
    if (now - due > MOST_BEHIND) due = now;
    for (; due <= now && !closed; due += SCAN_EVERY) {
      const t = clock.stamp(due);
      for (const [seat, { hand, plugged }] of units) {
        if (plugged) events.next({ type: 'seated', t, seat, event: { ...hand.scan(due), t } });
      }
    }
    if (!closed && units.size > 0)
      cancel = timers.after(Math.ceil((due - clock.now()) / 1_000), scanDue);
  }

  return {
    events,
    add,
    remove(seat) {
      units.delete(seat);
      if (units.size === 0) cancel();
    },
    press(seat, pad, strength) {
      const unit = units.get(seat);
      if (unit?.plugged) unit.hand.press(clock.now(), pad, strength);
    },
    release(seat, pad) {
      units.get(seat)?.hand.release(clock.now(), pad);
    },
    plug(seat, plugged) {
      const unit = units.get(seat);
      if (!unit || unit.plugged === plugged || closed) return;
      unit.plugged = plugged;
      unit.hand.leave();
      const where = `seat ${unit.name}`;
      if (plugged) {
        tell({ level: 'info', what: 'The unit on the page is plugged in again', where });
        return;
      }
      const t = clock.stamp();
      events.next({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'lost' } });
      tell({
        level: 'warn',
        what: 'The unit on the page was pulled out',
        where,
        next: 'Plug it in there again',
      });
    },
    close() {
      closed = true;
      cancel();
      events.complete();
      return Promise.resolve();
    },
  };
}
