import { compare, type Sameness, type UnitId } from './id.js';

/** A seat that is given a unit by part of its port's name. */
export interface ClaimSeat {
  readonly name: string;
  readonly part: string;
  /** True while it has its unit. */
  readonly taken: boolean;
  /** The port name of the unit that it lost in this run, where nothing tells that one from others. */
  readonly lost: string | null;
}

/** A unit that is there and has no seat. */
export interface ClaimUnit {
  /** Its port's name. */
  readonly port: string;
  /** Null where the system tells nothing. */
  readonly id: UnitId | null;
  /** A pad of it is touched for the first time just now. */
  readonly touched: boolean;
}

/** Which unit a seat had when they last met. */
export interface Remembered {
  readonly seat: string;
  /** Its port's name. */
  readonly port: string;
  readonly id: UnitId;
}

/** What is known besides the seats and units that are here. */
export interface Known {
  readonly remembered: readonly Remembered[];
  /** Serial numbers that several units have. */
  readonly alike: ReadonlySet<string>;
  /** Names of seats of the room that are not open here, whose units are left to them. */
  readonly absent: readonly string[];
}

/** A unit gets a seat; both are indices. */
export interface Claim {
  readonly unit: number;
  readonly seat: number;
  readonly why: 'known' | 'only' | 'touched';
}

/** A touch must tell which of these units is the seat's. */
export interface Ask {
  readonly seat: number;
  readonly units: readonly number[];
  /** Its only unit is another one than it had; else they cannot be told apart. */
  readonly other: boolean;
}

/** The names of ports, for `fits`. */
export function portNames(names: Iterable<string>): ReadonlySet<string> {
  return new Set([...names].map((name) => name.toLowerCase()));
}

/**
 * Which ports a seat would take: where one is called exactly so, none that only has it in its name.
 *
 * @param ports all that are here
 */
export function fits(part: string, port: string, ports: ReadonlySet<string>): boolean {
  const wanted = part.trim().toLowerCase();
  const name = port.toLowerCase();
  return ports.has(wanted) ? name === wanted : name.includes(wanted);
}

/** The seat of the room that is not open here and whose unit this is. */
export function absentSeatOf(id: UnitId | null, known: Known): string | undefined {
  if (id === null) return undefined;
  return known.remembered.find(
    (one) => known.absent.includes(one.seat) && compare(id, one.id, known.alike) === 'same',
  )?.seat;
}

/**
 * Says which unit gets which seat, and what to ask where nothing tells.
 *
 * A unit that is remembered gets its own seat. A unit and a seat that have nobody but each other
 * belong together, unless the seat is known to have had another unit. For the rest, whoever touches
 * a pad gets the first free seat in the order of the room, of those that wait for no known unit
 * if there are any.
 *
 * @param ports the names of all ports that are here, in seats or not
 */
export function settleClaims(
  seats: readonly ClaimSeat[],
  units: readonly ClaimUnit[],
  ports: ReadonlySet<string>,
  known: Known,
): { claims: Claim[]; asks: Ask[] } {
  const claims: Claim[] = [];
  const free = new Set(seats.flatMap(({ taken }, i) => (taken ? [] : [i])));
  // How each seat's memory compares with each unit; undefined where it has none.
  const same = seats.map(({ name, part }) =>
    units.map(({ id }) => {
      const own = known.remembered.filter(
        (one) => one.seat === name && fits(part, one.port, ports),
      );
      const all = own.map((one) => compare(id, one.id, known.alike));
      const order: Sameness[] = ['same', 'unknown', 'other'];
      return order.find((sameness) => all.includes(sameness));
    }),
  );
  const left = new Set(units.keys());
  units.forEach(({ id }, unit) => {
    if (absentSeatOf(id, known) !== undefined) left.delete(unit);
  });
  const anySeatsOf = (unit: number): number[] =>
    [...free].filter((seat) => fits(seats[seat]!.part, units[unit]!.port, ports));
  /** Of a seat for "board" and one for "board 2", a port "board 2" is rather the second one's. */
  const seatsOf = (unit: number): number[] => {
    const all = anySeatsOf(unit);
    const longest = Math.max(...all.map((seat) => seats[seat]!.part.length));
    return all.filter((seat) => seats[seat]!.part.length === longest);
  };
  const unitsOf = (seat: number): number[] =>
    [...left].filter((unit) => seatsOf(unit).includes(seat));

  function give(unit: number, seat: number, why: Claim['why']): void {
    claims.push({ unit, seat, why });
    free.delete(seat);
    left.delete(unit);
  }

  /** The seat that a touch on this unit would give it. */
  function next(unit: number): number | undefined {
    const own = seatsOf(unit);
    return own.find((seat) => same[seat]![unit] !== 'other') ?? own[0];
  }

  for (const unit of [...left]) {
    const seat = anySeatsOf(unit).find((one) => same[one]![unit] === 'same');
    if (seat !== undefined) give(unit, seat, 'known');
  }
  for (const unit of [...left]) {
    const seat = units[unit]!.touched ? next(unit) : undefined;
    if (seat !== undefined) give(unit, seat, 'touched');
  }
  for (let pair = lastPair(); pair; pair = lastPair()) give(...pair, 'only');

  function lastPair(): [number, number] | undefined {
    for (const unit of left) {
      const { id, port } = units[unit]!;
      const own = seatsOf(unit);
      const lost = own.filter((seat) => seats[seat]!.lost === port);
      const [seat, another] = id === null && lost.length > 0 ? lost : own;
      if (seat === undefined || another !== undefined) continue;
      if (same[seat]![unit] !== 'other' && unitsOf(seat).length === 1) return [unit, seat];
    }
    return undefined;
  }

  const asked = new Map<number, number[]>();
  for (const unit of left) {
    const seat = next(unit);
    if (seat !== undefined) asked.set(seat, [...(asked.get(seat) ?? []), unit]);
  }
  const asks = [...asked].map(([seat, waiting]) => ({
    seat,
    units: waiting,
    other: waiting.length === 1 && same[seat]![waiting[0]!] === 'other',
  }));
  return { claims, asks };
}
