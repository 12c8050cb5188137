import type { Seated } from '../time/alongside.js';
import type { Clock } from '../time/clock.js';
import { NEVER, SECOND, type Micros } from '../time/micros.js';
import { mapFarTime, type FarClock } from '../wire/osc-far-clock.js';
import type { HandPacket } from '../wire/osc-hand.js';
import { unixTime } from '../wire/osc-time.js';
import type { WireEvent } from '../wire/scan.js';
import type { Tell } from './contracts.js';
import type { Timers } from './live-clock.js';
import { handFaults, type HandCounts } from './osc-hand-faults.js';
import { handStream, kindOf, type HandKind, type HandStream } from './osc-hand-stream.js';

/** How a seat takes what another computer hands on. */
export interface HandSeat {
  /** Its place in the room file, counted from 0. */
  readonly seat: number;
  readonly hand: HandKind;
  /** How long it is held; see `From`. */
  readonly delay: Micros;
}

export interface HandInOptions {
  readonly seats: ReadonlyMap<string, HandSeat>;
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
  close(): void;
}

/** A packet that is held. */
interface Held {
  readonly name: string;
  readonly stream: HandStream;
  readonly packet: HandPacket;
  readonly tag: Micros;
}

/** Whoever hands a seat on says something twenty times a second. */
const SILENT: Micros = 2 * SECOND;
const LOOK_MS = 250;
const MOST_PAST = 64;

/**
 * Each packet is played when it was sent, on our clock, plus the shortest way over the network of late,
 * plus the seat's delay: whatever the network takes up to that delay is not heard. One that comes later
 * than that is played at once, with its own time as far as none after it has been played.
 */
export function handIn(options: HandInOptions): HandIn {
  const { seats, where, clock, now, tell, timers, emit } = options;
  const faults = handFaults(where, tell);
  const streams = new Map<string, HandStream>();
  const clocks = new Map<number, FarClock>();
  const held: Held[] = [];
  let disarm: () => void = () => undefined;
  let looking: () => void = () => undefined;

  const dueOf = ({ name, stream, tag }: Held): Micros =>
    tag + clocks.get(stream.run)!.distance + seats.get(name)!.delay;

  /** The stream that the packet is of; null where it is not to be heard. */
  function streamOf({ seat, run }: HandPacket, from: string, t: Micros): HandStream | null {
    const own = streams.get(seat);
    if (own?.run === run) return own;
    if (own && own.heard !== null) {
      const since = past.get(run);
      // What an earlier run of the same program sent may still be underway.
      if (since !== undefined && t - since < SILENT) return null;
      if (since !== undefined || own.from !== from) {
        faults.twice(t, seat, own.from, from);
        return null;
      }
    }
    if (own) replace(seat, own, t);
    const stream = handStream(run, from, faults.counts);
    streams.set(seat, stream);
    return stream;
  }

  /** Runs that another one followed, and when. */
  const past = new Map<number, Micros>();
  function replace(seat: string, own: HandStream, t: Micros): void {
    past.set(own.run, t);
    for (const run of past.keys()) if (past.size > MOST_PAST) past.delete(run);
    const kept = held.filter((one) => one.stream !== own);
    held.splice(0, held.length, ...kept);
    streams.delete(seat);
    if (![...streams.values()].some(({ run }) => run === own.run)) clocks.delete(own.run);
    if (own.heard !== null) reset(seat, 'lost');
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
    const stream = streamOf(one, from, arrival);
    if (!stream?.loss.arrive(number, arrival)) return;
    if (isGoodbye(one)) stream.over = Math.max(stream.over, number);
    if (number > stream.over) {
      if (stream.heard === null) faults.heard(from, name);
      stream.heard = arrival;
    }
    const tag = unixTime(at) ?? arrival;
    clocks.set(run, mapFarTime(clocks.get(run) ?? null, tag, arrival));
    const mine = { name, stream, packet: one, tag };
    const late = arrival - dueOf(mine);
    if (late > 0 && own.delay > 0 && isNews(one)) faults.late(arrival, from, late, own.delay);
    held.push(mine);
    watch();
    playDue();
  }

  /** The next to be played: of two at one time that of the smaller number. */
  function next(): number {
    let found = 0;
    for (let i = 1; i < held.length; i++) {
      const by = dueOf(held[i]!) - dueOf(held[found]!);
      if (by < 0 || (by === 0 && held[i]!.packet.number < held[found]!.packet.number)) found = i;
    }
    return found;
  }

  function playDue(): void {
    disarm();
    let due = NEVER;
    while (held.length > 0) {
      const index = next();
      due = dueOf(held[index]!);
      if (due > now()) break;
      const [one] = held.splice(index, 1);
      play(one!, due);
      due = NEVER;
    }
    disarm = due === NEVER ? () => undefined : clock.alarm(Math.ceil(due), playDue);
  }

  function play({ name, stream, packet: one }: Held, due: Micros): void {
    if (streams.get(name) !== stream) return;
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
    for (const [name, stream] of streams) {
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
    close() {
      disarm();
      looking();
      held.length = 0;
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
