import { SECOND, type Micros } from '../../time/micros.js';
import type { Tell } from '../contracts.js';

/** Where a packet came from. */
export interface Sender {
  readonly address: string;
  readonly port: number;
}

/** What is known of a seat's board by whoever attends to it. */
export interface Attending {
  /** Whether the seat counts as silent. */
  isSilent(seat: number): boolean;
  /** Whether it would count as silent soon if it stopped now. */
  isSteady(seat: number): boolean;
  /** Whether another computer hands the seat on, and says itself when it stops. */
  handed(seat: number, handed: boolean): void;
  /** Something came for the seat that could not be used, of which people are told otherwise. */
  unread(seat: number): void;
}

export interface SendersOptions {
  readonly where: string;
  readonly attending: Attending;
  readonly tell: Tell;
  /** A seat has another board from now on: what was learned of the one before says nothing of it. */
  readonly onOther: (seat: number) => void;
}

/** Which board is heard for each seat, where several send under its name. */
export interface Senders {
  /** Whether what this sender sent at `t` for the seat is played. */
  admits(name: string, seat: number, from: Sender, t: Micros): boolean;
  /** The seat has left: whoever sends under its name next is the first. */
  forget(name: string): void;
}

/** A sender that has sent fewer packets than this by its port may take a new port for each. */
const SETTLED = 3;
/** A board that only sends changes and has another port now may take over after so long. */
const ANOTHER_PORT: Micros = SECOND;
/** The same, where it has another address. */
const ELSEWHERE: Micros = 2 * SECOND;
/** The same, of one that is known to be another board. */
const RIVAL: Micros = 5 * SECOND;
/** So many other senders of a seat are remembered. */
const MOST = 16;

interface Owner extends Sender {
  /** How many packets it has sent, and when the last one. */
  packets: number;
  last: Micros;
}

interface SeatSenders {
  owner: Owner;
  /** Who had the seat and gave way without having been found silent: who sends again is another board. */
  former: Owner | null;
  /** Who was refused since the owner sent last. */
  refused: Sender | null;
  /** Those that are known to be other boards. */
  readonly rivals: Set<string>;
}

/**
 * The first sender keeps the seat. Another one is refused while the first goes on, and both are named
 * once; when the first has fallen silent, the other has the seat.
 *
 * Senders are told apart by address and port. A board that only sends changes cannot be found silent.
 * There another port of the same address is taken for the same board after a second without a packet,
 * and another address after two, until the first one sends again.
 */
export function oscSenders({ where, attending, tell, onOther }: SendersOptions): Senders {
  const seats = new Map<string, SeatSenders>();

  function another(
    name: string,
    seat: number,
    known: SeatSenders,
    from: Sender,
    t: Micros,
  ): boolean {
    const { owner, former, rivals } = known;
    if (former && isSame(former, from)) {
      clash(name, known, former, owner);
      former.packets += 1;
      former.last = t;
      Object.assign(known, { owner: former, former: null, refused: null });
      onOther(seat);
      return true;
    }
    const silent = attending.isSilent(seat);
    if (!silent && t - owner.last < wait(seat, known, from)) {
      known.refused = from;
      return false;
    }
    const before = owner;
    known.former = silent ? null : owner;
    known.owner = { address: from.address, port: from.port, packets: 1, last: t };
    known.refused = null;
    if (before.address === from.address && !rivals.has(keyOf(from))) return true;
    const [now, then] = named(from, before);
    tell({
      level: 'info',
      what: `The board at ${now} plays now, since the one at ${then} fell silent`,
      where: `seat ${name}`,
    });
    onOther(seat);
    return true;
  }

  /** How long the owner must have been silent, where it was not found so. */
  function wait(seat: number, { owner, rivals }: SeatSenders, from: Sender): Micros {
    const alike = owner.address === from.address;
    const rival = rivals.has(keyOf(from)) || rivals.size >= MOST;
    if (alike && owner.packets < SETTLED && !rival) return 0;
    if (attending.isSteady(seat)) return Infinity;
    if (rival) return RIVAL;
    return alike ? ANOTHER_PORT : ELSEWHERE;
  }

  /** Both send: they are two boards. */
  function clash(name: string, { rivals }: SeatSenders, keeps: Sender, other: Sender): void {
    if (rivals.has(keyOf(other)) || rivals.size >= MOST) return;
    rivals.add(keyOf(other));
    const [one, another] = named(keeps, other);
    tell({
      level: 'warn',
      what:
        rivals.size < MOST
          ? `Two boards send as "${name}": the one at ${one} plays, the one at ${another} is not heard`
          : `More and more senders call themselves "${name}"; only the one at ${one} is heard`,
      where,
      next: 'If one sketch was flashed to both, they have one name: give each board the name of its own seat. If the first falls silent, the other plays',
    });
  }

  return {
    forget: (name) => seats.delete(name),
    admits(name, seat, from, t) {
      const known = seats.get(name);
      if (!known) {
        const { address, port } = from;
        const owner = { address, port, packets: 1, last: t };
        seats.set(name, { owner, former: null, refused: null, rivals: new Set() });
        return true;
      }
      if (!isSame(known.owner, from)) return another(name, seat, known, from, t);
      known.owner.packets += 1;
      known.owner.last = t;
      if (known.refused) {
        clash(name, known, known.owner, known.refused);
        known.refused = null;
      }
      return true;
    },
  };
}

/** By their addresses, and by their ports where these are alike. */
function named(one: Sender, other: Sender): [string, string] {
  const alike = one.address === other.address;
  const name = ({ address, port }: Sender): string =>
    alike ? `${address}, port ${String(port)}` : address;
  return [name(one), name(other)];
}

function isSame(one: Sender, other: Sender): boolean {
  return one.port === other.port && one.address === other.address;
}

function keyOf({ address, port }: Sender): string {
  return `${address}:${String(port)}`;
}
