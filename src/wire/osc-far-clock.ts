import { SECOND, type Micros } from '../time/micros.js';

/**
 * Where the mapping from another computer's clock to ours stands: as `mapBoardTime`, the smallest
 * `arrival − tag` of late is taken as the distance of the clocks, with the shortest way counted in.
 *
 * A network jitters far more than a cable, so the distance is looked for much longer: among ten
 * packets a second the best of five seconds came over a quiet network. Two computers' clocks drift by
 * some 20 parts in a million each, so that within 2 · `HALF` the distance moves by 0.4 ms (100 parts:
 * 1 ms). (20 to 50 parts are common practice for computers' crystals.)
 */
export interface FarClock {
  /** Our clock less the other one, in microseconds: moved towards the smallest, so that time is even. */
  readonly distance: number;
  /** When it was last moved, and when the mapping began. */
  readonly moved: Micros;
  readonly begun: Micros;
  /** The smallest distance in this half of the window, and in the one before. */
  readonly least: number;
  readonly leastBefore: number;
  /** When this half began. */
  readonly since: Micros;
  /** How often the other clock was set: what it said before is on another scale. */
  readonly jumps: number;
}

/** Half the time in which the smallest distance is looked for. */
export const HALF: Micros = 5 * SECOND;

/**
 * How far the distance moves in a second at the most: a step would be heard as one, and would put the
 * hum of the mains out of its beat.
 */
const SLEW = 0.01;
/** The first packets may be far from the best, and nobody has played yet: until then it may step. */
const SETTLES: Micros = SECOND;

/** More than any network delays: the other clock was set. */
const JUMP: Micros = SECOND;

/**
 * The mapping after one more packet; packets may come in any order.
 *
 * @param clock null for the first
 * @param tag when it was sent, on the other clock
 * @param arrival when it came, on ours; never falling
 */
export function mapFarTime(clock: FarClock | null, tag: Micros, arrival: Micros): FarClock {
  const distance = arrival - tag;
  if (!clock || Math.abs(distance - clock.distance) > JUMP) {
    const least = { least: distance, leastBefore: Infinity, since: arrival };
    const jumps = clock ? clock.jumps + 1 : 0;
    return { distance, moved: arrival, begun: arrival, jumps, ...least };
  }
  const age = arrival - clock.since;
  const turns = age >= HALF;
  const least = turns ? distance : Math.min(clock.least, distance);
  const leastBefore = !turns ? clock.leastBefore : age < 2 * HALF ? clock.least : Infinity;
  const far = Math.min(least, leastBefore) - clock.distance;
  const settled = arrival - clock.begun > SETTLES;
  const most = settled ? Math.ceil(SLEW * (arrival - clock.moved)) : Infinity;
  return {
    distance: clock.distance + Math.max(-most, Math.min(most, far)),
    moved: arrival,
    begun: clock.begun,
    jumps: clock.jumps,
    least,
    leastBefore,
    since: turns ? arrival : clock.since,
  };
}
