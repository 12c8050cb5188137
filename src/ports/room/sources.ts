import { Observable, Subject, type Subscription } from 'rxjs';
import { printedOrder } from '../../instrument/instrument-pads.js';
import { isOnPage } from '../../instrument/room-from.js';
import { foundWords } from '../../instrument/words.js';
import { demoReadings } from '../../demo/demo.js';
import type { Seated } from '../../time/alongside.js';
import type { WireEvent } from '../../wire/scan.js';
import { attendance } from '../attendance/attendance.js';
import { attendedSeat } from '../attendance/attended-from.js';
import type { PlannedSeat } from '../connect.js';
import type { Source, Tell } from '../contracts.js';
import { nodeTimers, type LiveClock } from '../live-clock.js';
import { midiSource, type MidiSource } from '../midi/ports.js';
import { networkBudget, type NetworkBudget } from '../osc/network-budget.js';
import { oscSource, type OscSource } from '../osc/source.js';
import { screenSource, type ScreenPlay } from '../screen-source.js';
import { startTogether, takePlayer } from '../takes/player.js';
import { takeProblems } from '../takes/problems.js';
import { takeReadings, type FromTake } from '../takes/seat.js';
import { ASKS_NOBODY, type Trust } from '../takes/trust.js';
import { briefMemory, fileMemory } from '../units/memory.js';

/** How units find their seats. */
export interface UnitOptions {
  /** Where it is kept which unit has which seat; left out: forgotten when the program ends. */
  readonly folder?: string;
  /** The names of the room's seats that are not opened. */
  readonly absent?: readonly string[];
  /** Begin again: forget which units these seats had. */
  readonly forget?: boolean;
  /** What each sender in the network may ask for; left out: one for these ports. */
  readonly budget?: NetworkBudget;
  /** The seats are played, and not only listened to. */
  readonly played?: boolean;
  /** Whether modules that takes bring into play may run; left out: none may. */
  readonly trust?: Trust;
  /** Told of each Program Change of a seat's board, counted from 1. */
  readonly onProgram?: (seat: number, program: number) => void;
}

/**
 * Where the readings of all seats come from. It completes when every seat's take or player has ended by
 * itself; removing seats does not end it.
 */
export interface RoomSources extends Source {
  /**
   * A seat is played from now on, in a slot that is free. A port that cannot be opened is told of and tried
   * again, and costs the others nothing.
   */
  add(slot: number, seat: PlannedSeat): void;
  /** It is not any more: nothing comes of its slot after this. */
  remove(slot: number): void;
  /**
   * A seat has other files, and its readings go on: what is to be noticed of its board is looked at again.
   *
   * @param calibrated it plays on as it has calibrated itself before
   */
  refit(slot: number, seat: PlannedSeat, calibrated: boolean): void;
  /** The units that are played on the page, whichever seats are by then. */
  readonly screen: ScreenPlay;
}

/** A seat's own port, or its part of one. */
interface Wire {
  /** Begins to listen; called once. */
  start(): void;
  close(): void;
}

/** One seat's way in. */
interface Inlet {
  readonly wire: Wire;
  readonly events: Subject<Seated<WireEvent>>;
  readonly seat: PlannedSeat;
  /** Its board is attended to as long as this is. */
  listening: Subscription | null;
  /** It has come to its end by itself. */
  ended: boolean;
}

/** Opens what the seats' readings come from: one socket for all seats of one UDP port. */
export function openSources(
  seats: readonly PlannedSeat[],
  clock: LiveClock,
  tell: Tell,
  units: UnitOptions = {},
): RoomSources {
  const out = new Subject<Seated<WireEvent>>();
  /** By slot. */
  const inlets = new Map<number, Inlet>();
  const ports = new Map<number, { readonly source: OscSource; seats: number }>();
  const closing = new Set<Promise<void>>();
  const together = startTogether(clock);
  const attending = attendance({ clock, tell });
  const { folder, absent = [], onProgram = () => undefined, trust = ASKS_NOBODY } = units;
  const budget = units.budget ?? networkBudget({ tell });
  const screen = screenSource({ seats: [], clock, tell });
  let midi: MidiSource | null = null;
  let started = false;

  function route(source: Source): void {
    source.events.subscribe((event) => inlets.get(event.seat)?.events.next(event));
  }
  route(screen);

  function midiOf(): MidiSource {
    if (midi) return midi;
    const memory = folder === undefined ? briefMemory() : fileMemory(folder, tell);
    if (units.forget === true) {
      const names = seats.map(({ ready }) => ready.seat.name);
      memory.forget([...names, ...absent]);
    }
    const onSign = attending.sign;
    midi = midiSource({ seats: [], clock, tell, memory, absent, onProgram, onSign });
    route(midi);
    return midi;
  }

  function portOf(port: number) {
    const known = ports.get(port);
    if (known) return known;
    const source = oscSource({ port, seats: new Map(), clock, tell, attending, budget });
    route(source);
    const own = { source, seats: 0 };
    ports.set(port, own);
    return own;
  }

  /** Kept open for a seat that comes back in the same turn. */
  function closeUnused(port: number): void {
    const own = ports.get(port);
    if (!own || own.seats > 0) return;
    ports.delete(port);
    const closed = own.source.close().finally(() => closing.delete(closed));
    closing.add(closed);
  }

  function open(slot: number, { ready, plan }: PlannedSeat): Wire {
    const { from, name } = ready.seat;
    const start = (): void => undefined;
    if ('as' in from) {
      const source = midiOf();
      const port = 'midi' in from ? { midi: from.midi } : { virtual: from.virtual };
      source.add({ seat: slot, seatName: name, from: port, as: from.as });
      return { start, close: () => source.remove(slot) };
    }
    if ('osc' in from) {
      const own = portOf(from.osc);
      own.seats += 1;
      own.source.add(name, { ...from, seat: slot });
      return {
        start,
        close() {
          own.source.remove(name);
          own.seats -= 1;
          queueMicrotask(() => {
            closeUnused(from.osc);
          });
        },
      };
    }
    if (isOnPage(from)) {
      const { wires = 'straight', built = 'carefully' } = from;
      const order = printedOrder(plan.instrument);
      screen.add({ seat: slot, name, order, full: plan.pads.full, wires, built });
      return { start, close: () => screen.remove(slot) };
    }
    const player =
      'take' in from
        ? playedTake(slot, name, from)
        : takePlayer(slot, demoReadings(plan.instrument, plan.pads.pads), clock);
    let playing: Subscription | null = null;
    return {
      start() {
        playing = player.events.subscribe({
          next: (event) => inlets.get(slot)?.events.next(event),
          complete: () => inlets.get(slot)?.events.complete(),
        });
      },
      close: () => playing?.unsubscribe(),
    };
  }

  function playedTake(slot: number, name: string, from: FromTake): Source {
    const problems = takeProblems((line) => `${name}, take line ${String(line)}`, name, tell);
    const refused = new Set<string | null>();
    const readings = takeReadings(from, problems.report, trust, ({ file, code }) => {
      if (refused.has(code)) return;
      refused.add(code);
      tell({
        level: 'warn',
        what: `The take goes on with a module of its own, ${foundWords(file)}, which was never allowed to run here`,
        where: name,
        next: 'The rules before it play on; play the room again in a terminal, which asks once, or with --trust',
      });
    });
    return takePlayer(slot, readings, clock, nodeTimers, {
      // Those that are there at the start were recorded together, as a rule.
      ...(started ? {} : { together }),
      failed: (error) => {
        const what = `The take cannot be read any further: ${(error as Error).message}`;
        tell({ level: 'error', what, where: name, next: 'Its seat is silent; the others play on' });
      },
    });
  }

  function add(slot: number, seat: PlannedSeat): void {
    remove(slot);
    const inlet: Inlet = {
      events: new Subject(),
      wire: open(slot, seat),
      seat,
      listening: null,
      ended: false,
    };
    inlets.set(slot, inlet);
    if (started) start(slot, inlet);
  }

  function start(slot: number, inlet: Inlet): void {
    listen(slot, inlet, inlet.seat);
    inlet.wire.start();
  }

  function listen(
    slot: number,
    inlet: Inlet,
    { ready, plan }: PlannedSeat,
    calibrated = false,
  ): void {
    inlet.listening?.unsubscribe();
    const attended = attendedSeat(slot, ready.seat, plan, units.played === true, calibrated);
    const source = { events: inlet.events, close: () => Promise.resolve() };
    inlet.listening = attending.attend(source, [attended]).events.subscribe({
      next: (event) => out.next(event),
      complete() {
        inlet.ended = true;
        if ([...inlets.values()].every(({ ended }) => ended)) out.complete();
      },
    });
  }

  function remove(slot: number): void {
    const inlet = inlets.get(slot);
    inlets.delete(slot);
    inlet?.listening?.unsubscribe();
    inlet?.wire.close();
  }

  for (const [slot, seat] of seats.entries()) add(slot, seat);
  // Which unit is whose hangs on all seats, and is found out at once.
  (midi as MidiSource | null)?.look();
  return {
    events: new Observable((listener) => {
      const subscription = out.subscribe(listener);
      started = true;
      for (const [slot, inlet] of [...inlets]) start(slot, inlet);
      return subscription;
    }),
    add,
    remove,
    refit(slot, seat, calibrated) {
      const inlet = inlets.get(slot);
      if (inlet && !inlet.ended && started) listen(slot, inlet, seat, calibrated);
    },
    screen,
    async close() {
      for (const slot of [...inlets.keys()]) remove(slot);
      for (const port of [...ports.keys()]) closeUnused(port);
      const all: (Source | null)[] = [screen, midi];
      await Promise.allSettled([...all.map((source) => source?.close()), ...closing]);
      out.complete();
    },
  };
}
