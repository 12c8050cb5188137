import { merge, Subject } from 'rxjs';
import { swapped, way, type SeatPlan, type Watch } from '../pipeline.js';
import type { Change, Wish } from '../room/change.js';
import { changed, type RoomPlan } from '../room/plan.js';
import type { VoiceEvent, VoiceOn } from '../room/voice.js';
import type { Seated } from '../time/alongside.js';
import type { Clock } from '../time/clock.js';
import type { Reason } from '../time/events.js';
import { through } from '../time/through.js';
import type { Swap, WireEvent } from '../wire/scan.js';
import { LogicFault } from '../playing/own-logic-run.js';
import type { Engine, Source, Tell } from './contracts.js';
import { logicNotice } from './logic-faults.js';

/** A seat as the service needs it. */
export interface ServiceSeat {
  readonly name: string;
  readonly plan: SeatPlan;
}

/** What the service joins, and who listens in. */
export interface ServiceParts {
  readonly seats: readonly ServiceSeat[];
  /** How the seats share the speaker as it begins: one mix a seat. */
  readonly room: RoomPlan;
  readonly sources: readonly Source[];
  readonly engines: readonly Engine[];
  readonly clock: Clock;
  readonly tell: Tell;
  /** Sees all that comes in, in the order in which it is played. */
  readonly onReading?: (event: Seated<WireEvent>) => void;
  /** Sees each change of the room, in its place among the readings. */
  readonly onChange?: (change: Change) => void;
  /** A seat's player made the gesture that asks for other rules; called outside the way. */
  readonly onGesture?: (seat: number) => void;
  /** Sees each voice as it goes to the engines. */
  readonly onVoice?: (event: VoiceEvent) => void;
  /** By seat, what is put around each stage of its way, to see what goes in and out of it. */
  readonly watchOf?: (seat: number) => Watch;
  /** What to play through; left out: the way. For tests of what happens when it fails. */
  readonly makeWay?: typeof way;
}

/** A room that plays. */
export interface Service {
  /** Resolves when every source has ended by itself (takes and players do) or after `stop`. */
  readonly ended: Promise<void>;
  /** Changes how the seats share the speaker, from now on. */
  change(wish: Wish): void;
  /** Has a seat play by other files from now on; with other rules, what is held goes on. */
  swap(seat: number, files: Omit<Swap, 'type' | 't'>): void;
  /**
   * Ends all that sounds, at once; playing goes on. Every engine is told, whatever has failed and
   * even where no note is known to sound.
   */
  silence(): void;
  /** Silences first, then closes sources and engines. May be called twice. */
  stop(): Promise<void>;
}

/**
 * Joins sources, the way and engines, and keeps them going: what fails in one seat or one engine is
 * told and ends only its own notes.
 */
export function startService(parts: ServiceParts): Service {
  const { seats, sources, engines, clock, tell, makeWay = way } = parts;
  const entry = new Subject<Seated<WireEvent> | Change>();
  const sounding = new Map<number, VoiceOn>();
  let room = parts.room;
  const plans = seats.map(({ plan }) => plan);
  let hushed = false;
  let stopping: Promise<void> | null = null;
  let settle: () => void = () => undefined;
  const ended = new Promise<void>((resolve) => (settle = resolve));
  // Alarms and UDP sockets of other hosts do not keep Node running; a room that plays does.
  const alive = setInterval(() => undefined, 60_000);

  function hand(event: VoiceEvent): void {
    if (event.type === 'on') sounding.set(event.voice, event);
    else if (event.type === 'off') sounding.delete(event.voice);
    else if (event.type === 'silence') hushed = true;
    for (const engine of engines) {
      guarded(engine, () => {
        engine.send(event);
      });
    }
    parts.onVoice?.(event);
  }

  const failed = new Set<Engine>();
  /** Engines promise not to throw; one that does all the same must not cost the others a note. */
  function guarded(engine: Engine, work: () => void): void {
    try {
      work();
    } catch (error) {
      engineFailed(engine, error);
    }
  }

  function engineFailed(engine: Engine, error: unknown): void {
    if (failed.has(engine)) return;
    failed.add(engine);
    tell({
      level: 'error',
      what: `an engine failed: ${(error as Error).message}`,
      where: engine.name,
      next: 'The other engines go on; please report it.',
    });
  }

  /** Ends what the engines were told of, without the way. */
  function hush(): void {
    const t = clock.stamp();
    for (const { voice, seat, note, string } of [...sounding.values()]) {
      hand({ type: 'off', t, voice, seat, note, string, slurred: false });
    }
    hand({ type: 'silence', t });
  }

  /** The way itself failed: its notes end here, and a new way begins with the room as it is now. */
  function wayFailed(error: unknown): void {
    hush();
    const t = clock.stamp();
    for (const [seat, { level, pan, sound, lead }] of room.mixes.entries()) {
      hand({ type: 'mix', t, seat, level, pan, sound, lead });
    }
    tell({
      level: 'error',
      what: `the playing logic failed: ${(error as Error).message}`,
      next: 'Everything was silenced and begins anew; please report it with a take.',
    });
    if (!stopping) listen();
  }

  function seatFailed(seat: number, _t: number, error: unknown): void {
    if (error instanceof LogicFault) {
      tell(logicNotice(error, seats[seat]?.name ?? String(seat)));
      return;
    }
    tell({
      level: 'error',
      what: `the playing logic of one seat failed: ${(error as Error).message}`,
      where: `seat ${seats[seat]?.name ?? String(seat)}`,
      next: 'Its notes were ended and it begins anew; the other seats go on.',
    });
  }

  function gestured(seat: number): void {
    queueMicrotask(() => {
      if (!stopping) parts.onGesture?.(seat);
    });
  }

  function listen(): void {
    const stage = makeWay(plans, room, seatFailed, gestured, parts.watchOf);
    entry.pipe(through(stage, clock)).subscribe({ next: hand, error: wayFailed });
  }

  function enter(event: Seated<WireEvent>): void {
    parts.onReading?.(event);
    for (const engine of engines) guarded(engine, () => engine.reading?.(event));
    entry.next(event);
  }

  function change(wish: Wish): void {
    const own: Change = { ...wish, t: clock.stamp() };
    room = changed(room, own);
    parts.onChange?.(own);
    entry.next(own);
  }

  function swap(seat: number, files: Omit<Swap, 'type' | 't'>): void {
    const plan = plans[seat];
    if (!plan) return;
    const t = clock.stamp();
    const event: Swap = { type: 'swap', t, ...files };
    // Before it is played, so that a way that fails at it begins anew with it.
    plans[seat] = swapped(plan, event)?.plan ?? plan;
    enter({ type: 'seated', t, seat, event });
  }

  function resetAll(why: Reason): void {
    const t = clock.stamp();
    seats.forEach((_, seat) => {
      enter({ type: 'seated', t, seat, event: { type: 'reset', t, why } });
    });
  }

  /** By the way, so that every stage forgets what it holds; where that did not do it, without. */
  function silenceAll(why: Reason): void {
    hushed = false;
    try {
      resetAll(why);
    } finally {
      if (!hushed || sounding.size > 0) hush();
    }
  }

  async function shut(): Promise<void> {
    try {
      silenceAll('end');
    } finally {
      incoming.unsubscribe();
      entry.complete();
      await Promise.allSettled([
        ...engines.map((engine) => engine.close()),
        ...sources.map((source) => source.close()),
      ]);
      clearInterval(alive);
      settle();
    }
  }

  const stop = (): Promise<void> => (stopping ??= shut());

  listen();
  const incoming = merge(...sources.map((source) => source.events)).subscribe({
    next: enter,
    complete: () => void stop(),
  });
  return {
    ended,
    change,
    swap,
    silence: () => {
      if (!stopping) silenceAll('silence');
    },
    stop,
  };
}
