import { merge, Subject } from 'rxjs';
import { soundOf } from '../engine/seat-sound.js';
import { swapped, way, type Join, type SeatPlan, type Watch, type WayEvent } from '../pipeline.js';
import type { Change, Wish } from '../room/change.js';
import { changed, withSeat, type RoomPlan, type SeatMix } from '../room/plan.js';
import type { Leave } from '../room/seating.js';
import type { Mix, SeatSound, VoiceEvent, VoiceOn } from '../room/voice.js';
import type { Seated } from '../time/alongside.js';
import type { Clock } from '../time/clock.js';
import type { Reason } from '../time/events.js';
import type { Micros } from '../time/micros.js';
import { through } from '../time/through.js';
import type { Swap, WireEvent } from '../wire/scan.js';
import { LogicFault } from '../playing/own-logic-run.js';
import type { Engine, Source, Tell } from './contracts.js';
import { logicNotice } from './logic/faults.js';

/** A seat as the service needs it. */
export interface ServiceSeat {
  readonly name: string;
  readonly plan: SeatPlan;
}

/** What the service joins, and who listens in. */
export interface ServiceParts {
  /** Those that play as it begins, in their slots from 0 on. */
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
  /** Sees who joins and leaves, in its place among the readings, just before it takes effect. */
  readonly onSeating?: (event: Join | Leave) => void;
  /** A seat's player made the gesture that asks for other rules; called outside the way. */
  readonly onGesture?: (seat: number) => void;
  /** Sees each voice as it goes to the engines. */
  readonly onVoice?: (event: VoiceEvent) => void;
  /** By seat, what is put around each stage of its way, to see what goes in and out of it. */
  readonly watchOf?: (seat: number) => Watch;
  /** What to play through; left out: the way. For tests of what happens when it fails. */
  readonly makeWay?: typeof way;
}

/** A seat as it plays now. */
export interface PlayingSeat extends ServiceSeat {
  readonly mix: SeatMix;
}

/** A seat from its join to its leave; `stay` is its own, whatever files it plays by. */
interface Stay extends ServiceSeat {
  readonly stay: object;
}

/** An engine, and the voices that began before it was there. */
interface OpenEngine {
  readonly engine: Engine;
  readonly unheard: Set<number>;
}

/** A room that plays. */
export interface Service {
  /** Resolves when every source has ended by itself (takes and players do) or after `stop`. */
  readonly ended: Promise<void>;
  /** Changes how the seats share the speaker, from now on. */
  change(wish: Wish): void;
  /** Has a seat play by other files from now on; with other rules, what is held goes on. */
  swap(seat: number, files: Omit<Swap, 'type' | 't'>): void;
  /** Who plays in a slot, by what plan and mix now; null: nobody does. */
  seatAt(slot: number): PlayingSeat | null;
  /**
   * Has a seat play in a slot from now on; one that plays there leaves first. Its readings count from now
   * on: those of a slot in which nobody plays are dropped.
   *
   * @param slot 0 or more, and small: all that is kept by slot is as long as the largest one
   */
  join(slot: number, seat: ServiceSeat, mix: SeatMix): void;
  /** What the seat holds ends, and its slot is free; does nothing where nobody plays. */
  leave(slot: number): void;
  /** Ends what a seat holds, as where its board has gone. */
  lose(slot: number): void;
  /** By slot, what an engine that is opened now needs to know; null where nobody plays. */
  sounds(): readonly (SeatSound | null)[];
  /** From the next note on, an engine is sent what all others are. What sounds now it does not hear. */
  addEngine(engine: Engine): void;
  /** Ends what sounds on an engine, then closes it; the others are not touched. */
  removeEngine(engine: Engine): Promise<void>;
  /**
   * Ends all that sounds, at once; playing goes on. Every engine is told, whatever has failed and
   * even where no note is known to sound.
   */
  silence(): void;
  /** Ends all that sounds and plays nothing that comes until what it returns is called. */
  pause(): () => void;
  /** Silences first, then closes sources and engines. May be called twice. */
  stop(): Promise<void>;
}

/**
 * Joins sources, the way and engines, and keeps them going: what fails in one seat or one engine is
 * told and ends only its own notes.
 */
export function startService(parts: ServiceParts): Service {
  const { sources, clock, tell, makeWay = way } = parts;
  const entry = new Subject<WayEvent>();
  const sounding = new Map<number, VoiceOn>();
  let room = parts.room;
  /** By slot. */
  const seats: (Stay | null)[] = parts.seats.map((seat) => ({ ...seat, stay: {} }));
  /** By slot, whom the engines know to play there. */
  const known = seats.map((seat) => seat?.stay ?? null);
  /** By slot, the last mix that the engines were told of. */
  const mixes: (Mix | undefined)[] = [];
  const engines: OpenEngine[] = parts.engines.map((engine) => ({ engine, unheard: new Set() }));
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
    else if (event.type === 'mix') mixes[event.seat] = event;
    else {
      known[event.seat] = event.type === 'joined' ? (seats[event.seat]?.stay ?? null) : null;
      mixes[event.seat] = undefined;
    }
    for (const { engine, unheard } of engines) {
      if (event.type === 'off' && unheard.delete(event.voice)) continue;
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
    for (const slot of seats.keys()) retell(slot, t);
    tell({
      level: 'error',
      what: `the playing logic failed: ${(error as Error).message}`,
      next: 'Everything was silenced and begins again; please report it with a take.',
    });
    if (!stopping) listen();
  }

  /** Who plays in a slot, and how it is mixed, as it is now: the way may have failed before it said so. */
  function retell(slot: number, t: Micros): void {
    const now = seats[slot] ?? null;
    if (known[slot] && known[slot] !== now?.stay) hand({ type: 'left', t, seat: slot });
    if (!now) return;
    const mix = room.mixes[slot]!;
    if (!known[slot]) {
      const sound = soundOf({ name: now.name, ...mix }, now.plan.instrument);
      hand({ type: 'joined', t, seat: slot, sound });
    }
    const { level, pan, sound, lead } = mix;
    hand({ type: 'mix', t, seat: slot, level, pan, sound, lead });
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
      next: 'Its notes were ended and it begins again; the other seats go on.',
    });
  }

  function gestured(seat: number): void {
    queueMicrotask(() => {
      if (!stopping) parts.onGesture?.(seat);
    });
  }

  function listen(): void {
    const plans = seats.map((seat) => seat?.plan ?? null);
    const stage = makeWay(plans, room, seatFailed, gestured, parts.watchOf);
    entry.pipe(through(stage, clock)).subscribe({ next: hand, error: wayFailed });
  }

  let pauses = 0;
  function enter(event: Seated<WireEvent>): void {
    if (!seats[event.seat]) return;
    if (pauses > 0 && (event.event.type === 'scan' || event.event.type === 'played')) return;
    parts.onReading?.(event);
    for (const { engine } of engines) guarded(engine, () => engine.reading?.(event));
    entry.next(event);
  }

  function change(wish: Wish): void {
    if (wish.type === 'seat-change' && !seats[wish.seat]) return;
    const own: Change = { ...wish, t: clock.stamp() };
    room = changed(room, own);
    parts.onChange?.(own);
    entry.next(own);
  }

  function swap(seat: number, files: Omit<Swap, 'type' | 't'>): void {
    const now = seats[seat];
    if (!now) return;
    const t = clock.stamp();
    const event: Swap = { type: 'swap', t, ...files };
    // Before it is played, so that a way that fails at it begins again with it.
    seats[seat] = { ...now, plan: swapped(now.plan, event)?.plan ?? now.plan };
    enter({ type: 'seated', t, seat, event });
  }

  function leave(slot: number): void {
    if (!seats[slot]) return;
    const event: Leave = { type: 'leave', t: clock.stamp(), seat: slot };
    seats[slot] = null;
    room = withSeat(room, slot, null);
    parts.onSeating?.(event);
    entry.next(event);
  }

  function join(slot: number, seat: ServiceSeat, mix: SeatMix): void {
    if (stopping) return;
    leave(slot);
    while (seats.length < slot) seats.push(null);
    // Before it is played, so that a way that fails at it begins again with it.
    seats[slot] = { ...seat, stay: {} };
    room = withSeat(room, slot, mix);
    const { name, plan } = seat;
    const event: Join = { type: 'join', t: clock.stamp(), seat: slot, name, plan, mix };
    parts.onSeating?.(event);
    entry.next(event);
  }

  function seatAt(slot: number): PlayingSeat | null {
    const seat = seats[slot];
    const mix = room.mixes[slot];
    return seat && mix ? { name: seat.name, plan: seat.plan, mix } : null;
  }

  function sounds(): (SeatSound | null)[] {
    return seats.map((seat, slot) => {
      if (!seat) return null;
      const { level, pan, sound } = mixes[slot] ?? room.mixes[slot]!;
      return soundOf({ name: seat.name, level, pan, sound }, seat.plan.instrument);
    });
  }

  async function removeEngine(engine: Engine): Promise<void> {
    const index = engines.findIndex((one) => one.engine === engine);
    const [own] = index < 0 ? [] : engines.splice(index, 1);
    if (!own) return;
    const t = clock.stamp();
    for (const { voice, seat, note, string } of sounding.values()) {
      if (own.unheard.has(voice)) continue;
      guarded(engine, () => {
        engine.send({ type: 'off', t, voice, seat, note, string, slurred: false });
      });
    }
    await engine.close().catch((error: unknown) => {
      engineFailed(engine, error);
    });
  }

  function reset(seat: number, t: Micros, why: Reason): void {
    enter({ type: 'seated', t, seat, event: { type: 'reset', t, why } });
  }

  function resetAll(why: Reason): void {
    const t = clock.stamp();
    for (const seat of seats.keys()) reset(seat, t, why);
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
        ...engines.map(({ engine }) => engine.close()),
        ...sources.map((source) => source.close()),
      ]);
      clearInterval(alive);
      settle();
    }
  }

  function silence(): void {
    if (!stopping) silenceAll('silence');
  }

  function pause(): () => void {
    silence();
    pauses += 1;
    let over = false;
    return () => {
      if (over) return;
      over = true;
      pauses -= 1;
      // A pad that is touched by now must be seen at rest before it sounds.
      silence();
    };
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
    seatAt,
    join,
    leave,
    lose: (slot) => {
      reset(slot, clock.stamp(), 'lost');
    },
    sounds,
    addEngine: (engine) => {
      if (stopping) void engine.close();
      else engines.push({ engine, unheard: new Set(sounding.keys()) });
    },
    removeEngine,
    silence,
    pause,
    stop,
  };
}
