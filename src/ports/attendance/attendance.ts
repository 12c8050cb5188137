import { Observable } from 'rxjs';
import type { Seated } from '../../time/alongside.js';
import { listeningTime } from '../../time/listening-time.js';
import { MILLISECOND, type Micros } from '../../time/micros.js';
import type { WireEvent } from '../../wire/scan.js';
import { awayWords, NEWS_WORDS } from './words.js';
import { Attended, type AttendedSeat, type SeatNews } from './attended-seat.js';
import { AWAY, sleepWatch, stopWatch, systemClocks, type AwakeClocks } from './away.js';
import { catchUp, type CatchUp } from './catch-up.js';
import type { Source, Tell } from '../contracts.js';
import { nodeTimers, type LiveClock, type Timers } from '../live-clock.js';

export interface AttendanceOptions {
  readonly clock: LiveClock;
  readonly tell: Tell;
  readonly timers?: Timers;
  readonly clocks?: AwakeClocks;
}

/** Notices what no source can know: that a board has stopped sending, or that this computer slept. */
export interface Attendance {
  /** The source as it is, with resets put in; seats are attended for as long as it is listened to. */
  attend<Own extends Source>(source: Own, seats: readonly AttendedSeat[]): Own;
  /** MIDI data came for a seat; `sensing`: Active Sensing. */
  sign(seat: number, sensing: boolean): void;
  /** Whether another computer hands the seat on, and says itself when it stops. */
  handed(seat: number, handed: boolean): void;
  /** Something came for the seat that could not be used, of which people are told otherwise. */
  unread(seat: number): void;
  /** Whether the seat counts as silent. */
  isSilent(seat: number): boolean;
  /** Whether it would count so soon if it stopped now. */
  isSteady(seat: number): boolean;
}

const LOOK_MS = 50;
/** So much of a time in which nobody looked counts as time in which nothing came. */
const COUNTS: Micros = 2 * LOOK_MS * MILLISECOND;

/**
 * What is over once there is this to tell of all its seats. It is told then of the same seats as the
 * trouble was, since a page shows a trouble of a place until there is something else of that place.
 */
const SETTLES: Readonly<Partial<Record<SeatNews, SeatNews>>> = { came: 'unheard', back: 'silent' };
const TROUBLES = new Set(Object.values(SETTLES));

/** Several seats of which there was something to tell at once, and those of which it still holds. */
interface Trouble {
  readonly kind: SeatNews;
  readonly of: readonly Attended[];
  readonly left: Set<Attended>;
}

/**
 * Looks twenty times a second what has come from each seat. For a scan that costs some comparisons;
 * no timer is set again.
 *
 * A wire that has stopped (see `life`) gets a `quiet` reset. After this program was away for more
 * than two seconds every seat gets an `overflow` reset, and what had piled up meanwhile is taken in
 * without being played. Both are told once.
 */
export function attendance(options: AttendanceOptions): Attendance {
  const { clock, tell, timers = nodeTimers, clocks = systemClocks } = options;
  const seats = new Map<number, Attended>();
  const listening = listeningTime(clock.now(), COUNTS);
  const sleptAt = sleepWatch(clock.now(), clocks);
  const stoppedFor = stopWatch(clocks);
  let cancel: () => void = () => undefined;
  let catching: CatchUp | null = null;
  const troubles: Trouble[] = [];

  function changed({ of, emit }: Attended, change: 'quiet' | 'back'): void {
    if (change === 'quiet') emit({ type: 'reset', t: clock.stamp(), why: 'quiet' });
    // A board that is there but sends only changes may have nothing else to show it by.
    else if (of.steady === 'never') emit({ type: 'scan', t: clock.stamp(), inputs: [], raws: [] });
  }

  function look(): void {
    const now = clock.now();
    notice(now);
    const t = listening.at(now);
    const news = new Map<SeatNews, Attended[]>();
    for (const one of seats.values()) {
      one.look(t);
      for (const kind of one.takeNews()) news.set(kind, [...(news.get(kind) ?? []), one]);
      const misfit = one.takeMisfit(t);
      if (misfit) tell({ level: 'warn', where: `seat ${one.of.name}`, ...misfit });
    }
    for (const [kind, of] of news) say(kind, of);
    cancel = timers.after(LOOK_MS, look);
  }

  function say(kind: SeatNews, of: readonly Attended[]): void {
    const settled = SETTLES[kind];
    let rest = of;
    if (TROUBLES.has(kind)) {
      for (const { left } of troubles) for (const one of of) left.delete(one);
      troubles.push({ kind, of, left: new Set(of) });
    }
    for (const trouble of troubles.filter((one) => one.kind === settled)) {
      const concerned = of.some((one) => trouble.left.delete(one));
      for (const one of of) trouble.left.delete(one);
      if (trouble.left.size > 0 || !concerned) continue;
      rest = rest.filter((one) => !trouble.of.includes(one));
      tellOf(kind, trouble.of);
    }
    // Of those that are over, and of those whose seats have other troubles by now, nothing is left to tell.
    troubles.splice(0, troubles.length, ...troubles.filter(({ left }) => left.size > 0));
    if (rest.length > 0) tellOf(kind, rest);
  }

  function tellOf(kind: SeatNews, of: readonly Attended[]): void {
    tell(NEWS_WORDS[kind]([...of].sort((one, other) => one.of.seat - other.of.seat)));
  }

  /** Notices that nobody looked for long. */
  function notice(now: Micros): void {
    const away = stoppedFor(listening.look(now)) + sleptAt(now);
    if (away <= AWAY) return;
    catching?.end();
    for (const { emit } of seats.values()) {
      emit({ type: 'reset', t: clock.stamp(), why: 'overflow' });
    }
    catching = catchUp(clock, timers, () => (catching = null));
    tell(awayWords(away));
  }

  /** Whether the event may go on. */
  function saw(one: Attended, event: WireEvent): boolean {
    const now = clock.now();
    // What had piled up may come before the timer rings.
    if (listening.since(now) > AWAY) notice(now);
    one.saw(event, listening.at(now));
    catching?.take(one.emit, event);
    return catching === null;
  }

  function attend<Own extends Source>(source: Own, of: readonly AttendedSeat[]): Own {
    const events = new Observable<Seated<WireEvent>>((listener) => {
      if (seats.size === 0) {
        listening.look(clock.now());
        cancel = timers.after(LOOK_MS, look);
      }
      const own = of.map((one) => {
        const emit = (event: WireEvent): void => {
          listener.next({ type: 'seated', t: event.t, seat: one.seat, event });
        };
        return new Attended(one, emit, changed, listening.at(clock.now()));
      });
      for (const one of own) seats.set(one.of.seat, one);
      const subscription = source.events.subscribe({
        next: (seated) => {
          const one = seats.get(seated.seat);
          if (!one || saw(one, seated.event)) listener.next(seated);
        },
        complete: () => {
          listener.complete();
        },
      });
      return () => {
        subscription.unsubscribe();
        for (const one of own) if (seats.get(one.of.seat) === one) seats.delete(one.of.seat);
        for (const one of own) for (const { left } of troubles) left.delete(one);
        if (seats.size === 0) cancel();
      };
    });
    return { ...source, events };
  }

  return {
    attend,
    sign: (seat, sensing) => seats.get(seat)?.sign(listening.at(clock.now()), sensing),
    handed(seat, handed) {
      const one = seats.get(seat);
      if (one) one.handed = handed;
    },
    unread: (seat) => {
      seats.get(seat)?.unread();
    },
    isSilent: (seat) => seats.get(seat)?.silent ?? false,
    isSteady: (seat) => seats.get(seat)?.steady ?? false,
  };
}
