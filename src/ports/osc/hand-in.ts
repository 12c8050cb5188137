import type { Seated } from '../../time/alongside.js';
import type { Clock } from '../../time/clock.js';
import { Heap } from '../../time/heap.js';
import { NEVER, SECOND, type Micros } from '../../time/micros.js';
import { mapFarTime, type FarClock } from '../../wire/osc-far-clock.js';
import type { HandPacket } from '../../wire/osc-hand.js';
import { unixTime } from '../../wire/osc-time.js';
import type { WireEvent } from '../../wire/scan.js';
import type { Tell } from '../contracts.js';
import type { Timers } from '../live-clock.js';
import { handFaults, type HandCounts } from './hand-faults.js';
import { handStream, kindOf, type HandKind, type HandStream } from './hand-stream.js';

/** How a seat takes what another computer hands on. */
export interface HandSeat {
  /** Its slot. */
  readonly seat: number;
  readonly hand: HandKind;
  /** How long it is held; see `From`. */
  readonly delay: Micros;
}

export interface HandInOptions {
  /** By name, those that listen now. */
  readonly seats: Pick<ReadonlyMap<string, HandSeat>, 'get'>;
  readonly where: string;
  readonly clock: Clock;
  /** The time now, on the same clock, which holds no stamp back. */
  readonly now: () => Micros;
  readonly tell: Tell;
  readonly timers: Timers;
  readonly emit: (event: Seated<WireEvent>) => void;
}

/** Plays what other computers hand on, at its own times. */
export interface HandIn {
  readonly counts: HandCounts;
  packet(packet: HandPacket, from: string, arrival: Micros): void;
  /** Something of an address was dropped before it could be read; null: of any of several. */
  dropped(address: string | null): void;
  /** The seat listens no more: what is held of it is dropped. */
  remove(name: string): void;
  close(): void;
}

/** A packet that is held. */
interface Held {
  readonly packet: HandPacket;
  readonly tag: Micros;
}

/** A seat that is handed on, with what is held of it: the next to be played comes first. */
interface Heard {
  readonly name: string;
  readonly stream: HandStream;
  readonly held: Heap<Held>;
}

/** Of two at one time that of the smaller number; of one run alone, so whatever the distance of the clocks. */
const before = (a: Held, b: Held): boolean =>
  a.tag < b.tag || (a.tag === b.tag && a.packet.number < b.packet.number);

/** Whoever hands a seat on says something twenty times a second. */
const SILENT: Micros = 2 * SECOND;
const LOOK_MS = 250;
const MOST_PAST = 64;
/** As many as a thousand a second at the longest delay. */
export const MOST_HELD = 1_024;
/** Of all seats of a port. */
export const MOST_HELD_ALL = 8_192;

/**
 * Each packet is played when it was sent, on our clock, plus the shortest way over the network of late,
 * plus the seat's delay: whatever the network takes up to that delay is not heard. One that comes later
 * than that is played at once, with its own time as far as none after it has been played.
 */
export function handIn(options: HandInOptions): HandIn {
  const { seats, where, clock, now, tell, timers, emit } = options;
  const faults = handFaults(where, tell);
  const streams = new Map<string, Heard>();
  const clocks = new Map<number, FarClock>();
  let heldOfAll = 0;
  let disarm: () => void = () => undefined;
  let looking: () => void = () => undefined;

  const dueOf = ({ name, stream }: Heard, { tag }: Held): Micros =>
    tag + clocks.get(stream.run)!.distance + seats.get(name)!.delay;

  /** The stream that the packet is of; null where it is not to be heard. */
  function heardOf({ seat, run }: HandPacket, from: string, t: Micros): Heard | null {
    const own = streams.get(seat);
    if (own?.stream.run === run) return own;
    if (own && own.stream.heard !== null) {
      const since = past.get(run);
      // What an earlier run of the same program sent may still be underway.
      if (since !== undefined && t - since < SILENT) return null;
      if (since !== undefined || own.stream.from !== from) {
        faults.twice(t, seat, own.stream.from, from);
        return null;
      }
    }
    if (own) replace(own, t);
    const stream = handStream(run, from, faults.counts);
    const heard = { name: seat, stream, held: new Heap(before) };
    streams.set(seat, heard);
    return heard;
  }

  /** Runs that another one followed, and when. */
  const past = new Map<number, Micros>();
  function replace(own: Heard, t: Micros): void {
    const { name, stream } = own;
    past.set(stream.run, t);
    for (const run of past.keys()) if (past.size > MOST_PAST) past.delete(run);
    drop(own);
    if (stream.heard !== null) reset(name, 'lost');
  }

  function drop(own: Heard): void {
    const { run } = own.stream;
    forget(own);
    streams.delete(own.name);
    if (![...streams.values()].some((one) => one.stream.run === run)) clocks.delete(run);
  }

  function forget({ held }: Heard): void {
    heldOfAll -= held.size;
    held.clear();
  }

  function reset(name: string, why: 'lost' | 'overflow'): void {
    const t = clock.stamp();
    const { seat } = seats.get(name)!;
    emit({ type: 'seated', t, seat, event: { type: 'reset', t, why } });
  }

  function packet(one: HandPacket, from: string, arrival: Micros): void {
    const { seat: name, run, number, at } = one;
    const own = seats.get(name);
    if (!own) return;
    const kind = kindOf(one);
    if (kind !== null && kind !== own.hand) {
      faults.other(arrival, name, own.hand);
      return;
    }
    const heard = heardOf(one, from, arrival);
    if (!heard?.stream.loss.arrive(number, arrival)) return;
    const { stream } = heard;
    if (isGoodbye(one)) stream.over = Math.max(stream.over, number);
    if (number > stream.over) {
      if (stream.heard === null) faults.heard(from, name);
      stream.heard = arrival;
    }
    const tag = unixTime(at) ?? arrival;
    follow(run, tag, arrival);
    const mine = { packet: one, tag };
    const late = arrival - dueOf(heard, mine);
    if (late > 0 && own.delay > 0 && isNews(one)) faults.late(arrival, from, late, own.delay);
    hold(heard, mine, arrival);
    watch();
    playDue();
  }

  /** Where the other clock was set, what is held was sent before: its time is none on the new scale. */
  function follow(run: number, tag: Micros, arrival: Micros): void {
    const known = clocks.get(run) ?? null;
    const now = mapFarTime(known, tag, arrival);
    if (known && now.jumps > known.jumps) {
      for (const heard of streams.values()) {
        if (heard.stream.run === run) while (heard.held.size > 0) playNext(heard, arrival);
      }
    }
    clocks.set(run, now);
  }

  /** Whoever sends more than can be held has no use for its order: all of it is dropped, and its notes end. */
  function hold(heard: Heard, one: Held, t: Micros): void {
    if (heard.held.size >= MOST_HELD || heldOfAll >= MOST_HELD_ALL) {
      const dropped = heard.held.size + 1;
      forget(heard);
      faults.crowded(t, heard.stream.from, heard.name, dropped);
      reset(heard.name, 'overflow');
      return;
    }
    heard.held.push(one);
    heldOfAll += 1;
  }

  function playDue(): void {
    disarm();
    let due = NEVER;
    for (let next = soonest(); next; next = soonest()) {
      due = next.due;
      if (due > now()) break;
      playNext(next.heard, due);
      due = NEVER;
    }
    disarm = due === NEVER ? () => undefined : clock.alarm(Math.ceil(due), playDue);
  }

  function soonest(): { heard: Heard; due: Micros } | null {
    let found: { heard: Heard; due: Micros } | null = null;
    for (const heard of streams.values()) {
      const first = heard.held.peek();
      const due = first ? dueOf(heard, first) : NEVER;
      if (due < (found?.due ?? NEVER)) found = { heard, due };
    }
    return found;
  }

  function playNext({ name, stream, held }: Heard, due: Micros): void {
    const { packet: one } = held.pop()!;
    heldOfAll -= 1;
    const t = clock.stamp(due);
    const { seat } = seats.get(name)!;
    for (const event of stream.play(one, t)) emit({ type: 'seated', t: event.t, seat, event });
    if (!isGoodbye(one) || stream.heard === null) return;
    stream.heard = null;
    faults.ended(stream.from, name);
  }

  let asked = false;
  function watch(): void {
    if (asked) return;
    asked = true;
    looking = timers.after(LOOK_MS, look);
  }

  /** Who has fallen silent, and what is lost for good. */
  function look(): void {
    asked = false;
    const t = now();
    const silent = new Map<string, string[]>();
    for (const [name, { stream }] of streams) {
      const missed = stream.loss.missed(t);
      if (missed > 0) faults.lost(t, stream.from, name, missed);
      if (stream.heard === null || t - stream.heard < SILENT) continue;
      stream.heard = null;
      silent.set(stream.from, [...(silent.get(stream.from) ?? []), name]);
      // Not `lost`: the unit itself is there, and what was learned of it holds.
      reset(name, 'overflow');
    }
    for (const [from, names] of silent) faults.silent(from, names);
    if (streams.size > 0) watch();
  }

  return {
    counts: faults.counts,
    packet,
    dropped(address) {
      for (const heard of streams.values()) {
        const { from, heard: last } = heard.stream;
        if (last === null || (address !== null && from !== address)) continue;
        forget(heard);
        reset(heard.name, 'overflow');
      }
    },
    remove(name) {
      const own = streams.get(name);
      if (own) drop(own);
    },
    close() {
      disarm();
      looking();
      for (const heard of streams.values()) forget(heard);
      asked = true;
    },
  };
}

/** The other computer ends in good order. */
function isGoodbye({ parts }: HandPacket): boolean {
  return parts.some((part) => part.type === 'reset' && part.why === 'end');
}

/** Whether it matters to the ear when it is played: what is said again and again does not. */
function isNews({ parts }: HandPacket): boolean {
  return parts.some(({ type }) => type !== 'now' && type !== 'sounding');
}
