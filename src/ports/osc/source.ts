import type { RemoteInfo } from 'node:dgram';
import { Subject } from 'rxjs';
import type { Seated } from '../../time/alongside.js';
import type { Clock } from '../../time/clock.js';
import type { Reason } from '../../time/events.js';
import type { Micros } from '../../time/micros.js';
import { decodeOsc, type OscMessage } from '../../wire/osc-codec.js';
import { isHand, readHand } from '../../wire/osc-hand-read.js';
import { isStranger, padsIn } from '../../wire/osc-pads.js';
import type { WireEvent } from '../../wire/scan.js';
import { calmTell } from '../calm-tell.js';
import type { Source, Tell } from '../contracts.js';
import { nodeTimers, type LiveClock, type Timers } from '../live-clock.js';
import { networkBudget, type NetworkBudget } from './network-budget.js';
import { oscFaults, type OscFaultCounts } from './faults.js';
import type { HandCounts } from './hand-faults.js';
import { handIn } from './hand-in.js';
import type { HandKind } from './hand-stream.js';
import { oscSenders, type Attending } from './senders.js';
import { listenUdp } from './listen.js';
import { udpTable } from './udp-table.js';

/** A seat that listens on a port. */
export interface OscSeat {
  /** Its slot. */
  readonly seat: number;
  /** The raw value of its board's full scale. */
  readonly full: number;
  /** What another computer hands on for it; left out: pads. */
  readonly hand?: HandKind;
  /** How long that is held; left out: not at all. */
  readonly delay?: Micros;
}

export interface OscSourceOptions {
  readonly port: number;
  /** By the names that the boards send, those that listen as it begins. */
  readonly seats: ReadonlyMap<string, OscSeat>;
  /**
   * The address to listen at. Left out: all IPv4 addresses of this computer, since boards on Wi-Fi
   * must reach it and a room file names the port alone. Whoever is in the network can then send pad
   * readings, and nothing else: 127.0.0.1 lets in only the programs of this computer.
   */
  readonly host?: string;
  readonly clock: Clock & Partial<Pick<LiveClock, 'now'>>;
  readonly tell: Tell;
  readonly timers?: Timers;
  /** What each sender may ask for; left out: one of this port's own. */
  readonly budget?: NetworkBudget;
  /** Opens the port; left out: a UDP socket. Tests feed packets by it, each at a time of their own. */
  readonly listen?: typeof listenUdp;
  /** What is known of the seats' boards; left out: nothing. */
  readonly attending?: Attending;
}

const NOBODY_ATTENDS: Attending = {
  isSilent: () => false,
  isSteady: () => false,
  handed: () => undefined,
  unread: () => undefined,
};

export interface OscSource extends Source {
  /** A seat listens here from now on. */
  add(name: string, seat: OscSeat): void;
  /** It does not any more: nothing comes of it after this. */
  remove(name: string): void;
  readonly counts: OscFaultCounts;
  /** What became of what other computers hand on. */
  readonly handed: HandCounts;
  /** The port, once it is open for the first time. */
  readonly opened: Promise<number>;
}

/** How often the system is asked whether it had to drop packets. */
const LOOK_MS = 1_000;

/**
 * Raw pads over OSC, of all the seats of one UDP port. Each packet is stamped once, as it arrives; what
 * another computer hands on is played at its own times instead (see `handIn`).
 *
 * A port in use is told and tried again while the rest of the room goes on. Where the system says
 * that it dropped packets, lifts may be among them, so the seats get an `overflow` reset. Of several
 * boards that send under one seat's name one is heard (see `oscSenders`).
 */
export function oscSource(options: OscSourceOptions): OscSource {
  const { port, clock, host = '0.0.0.0', timers = nodeTimers } = options;
  const tell = calmTell(options.tell, timers);
  const { attending = NOBODY_ATTENDS } = options;
  const seats = new Map(options.seats);
  const events = new Subject<Seated<WireEvent>>();
  const where = `UDP port ${String(port)}`;
  const faults = oscFaults(where, () => seats.keys(), tell);
  const budget = options.budget ?? networkBudget({ tell, timers });
  /** By seat, the address that its last reading came from. */
  const fed = new Map<string, string>();
  const senders = oscSenders({ where, attending, tell, onOther: lose });
  const now = (): Micros => clock.now?.() ?? clock.stamp();
  const hand = handIn({
    where,
    clock,
    now,
    tell,
    timers,
    seats: {
      get(name) {
        const own = seats.get(name);
        return own && { seat: own.seat, hand: own.hand ?? 'pads', delay: own.delay ?? 0 };
      },
    },
    emit: (event) => {
      attending.handed(event.seat, true);
      events.next(event);
    },
  });
  let sender: RemoteInfo;
  let strangers: string[] = [];
  let closed = false;

  function fullOf(name: string): number | undefined {
    const full = seats.get(name)?.full;
    if (full === undefined) {
      strangers.push(name);
      faults.unknown(sender.address, name);
    }
    return full;
  }

  function onPacket(bytes: Uint8Array, from: RemoteInfo): void {
    const arrival = now();
    sender = from;
    if (strangers.length > 0) strangers = [];
    const decoded = decodeOsc(bytes);
    const faults =
      'error' in decoded
        ? [`not an OSC packet: ${decoded.error}`]
        : isHand(decoded.ok)
          ? onHand(decoded.ok, from.address, arrival)
          : onPads(decoded.ok, clock.now ? clock.stamp(arrival) : arrival);
    if (faults.length > strangers.length) complain(arrival, from.address, faults);
  }

  function onPads(messages: readonly OscMessage[], t: Micros): readonly string[] {
    const { readings, faults: wrong, over } = padsIn(messages, fullOf);
    for (const one of over) {
      faults.over(t, sender.address, one);
      attending.unread(seats.get(one.seat)!.seat);
    }
    for (const { seat: name, inputs, raws } of readings) {
      const { seat } = seats.get(name)!;
      if (!senders.admits(name, seat, sender, t)) continue;
      attending.handed(seat, false);
      fed.set(name, sender.address);
      events.next({ type: 'seated', t, seat, event: { type: 'scan', t, inputs, raws } });
    }
    return wrong;
  }

  function onHand(messages: readonly OscMessage[], from: string, t: Micros): readonly string[] {
    const read = readHand(messages, fullOf);
    if (typeof read === 'string') return [read];
    hand.packet(read.packet, from, t);
    return read.faults;
  }

  /** Unknown seats are among the faults too, and were told by their names. */
  function complain(t: Micros, from: string, all: readonly string[]): void {
    const other = all.findLast((fault) => !isStranger(fault));
    faults.malformed(t, from, all.length - strangers.length, other ?? all.at(-1)!);
  }

  function lose(seat: number): void {
    const t = clock.stamp();
    events.next({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'lost' } });
  }

  function reset(why: Reason, whose: (name: string) => boolean = () => true): void {
    const t = clock.stamp();
    for (const [name, { seat }] of seats) {
      if (whose(name)) events.next({ type: 'seated', t, seat, event: { type: 'reset', t, why } });
    }
  }

  /** The lift of what is touched may be among what was dropped. */
  const undrop = budget.onDropped((address) => {
    hand.dropped(address);
    reset('overflow', (name) => fed.has(name) && (address === null || fed.get(name) === address));
  });

  let known = 0;
  let watching: () => void = () => undefined;
  async function look(real: number): Promise<void> {
    const rows = await udpTable();
    if (!rows || closed) return;
    const own = rows.filter((row) => row.port === real);
    const drops = own.reduce((sum, row) => sum + row.drops, 0);
    if (drops > known) {
      faults.dropped(clock.stamp(), drops - known);
      reset('overflow');
    }
    known = drops;
    watching();
    watching = timers.after(LOOK_MS, () => void look(real));
  }

  let ready: (port: number) => void = () => undefined;
  const opened = new Promise<number>((resolve) => (ready = resolve));
  const listening = (options.listen ?? listenUdp)({
    port,
    host,
    tell,
    timers,
    onPacket,
    budget,
    onOpen(real) {
      ready(real);
      known = 0;
      void look(real);
    },
    onLost() {
      reset('lost');
    },
  });

  return {
    events,
    add(name, seat) {
      seats.set(name, seat);
    },
    remove(name) {
      seats.delete(name);
      fed.delete(name);
      senders.forget(name);
      hand.remove(name);
    },
    counts: faults.counts,
    handed: hand.counts,
    opened,
    async close() {
      if (closed) return;
      closed = true;
      watching();
      undrop();
      hand.close();
      await listening.close();
      reset('end');
      events.complete();
    },
  };
}
