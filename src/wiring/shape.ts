import { MILLISECOND, type Micros } from '../time/micros.js';

/** What one input did in a touch: its furthest change, and the change that is surely no noise of it. */
export interface Reach {
  readonly peak: number;
  readonly limit: number;
}

/** How far every input was from its rest at one time of a touch: `changes[input]`, never below 0. */
export interface Moved {
  readonly t: Micros;
  readonly changes: Float64Array;
}

/** An input that moved at least this share of the furthest one may be a second touched pad. */
const NOTABLE = 0.3;
/** From this share on, which of two is the touched one cannot be told. */
const ALIKE = 0.85;
/**
 * What couples moves and returns with the touched pad, within noise; two fingers differ by more
 * (pressed together on purpose: some 5 to 30 ms; memory, no source).
 */
const LANDS_WITH: Micros = 18 * MILLISECOND;
const LEAVES_WITH: Micros = 25 * MILLISECOND;

/** When an input first came over half of its own furthest change, and was last over it. */
function half(moved: readonly Moved[], input: number, peak: number): [Micros, Micros] {
  const over = ({ changes }: Moved): boolean => (changes[input] ?? 0) >= peak / 2;
  const first = moved.find(over)?.t ?? 0;
  return [first, moved.findLast(over)?.t ?? first];
}

/**
 * Looks for a second touched input beside the one that moved furthest. A coupled one moves less, and
 * as the touched one does; a second finger lands or leaves at another time.
 *
 * @param reaches of each input in this touch
 * @param over whether the touch is over, so that leaving can be compared too
 * @returns the second input, or null where the furthest one is a clear winner
 */
export function secondTouched(
  moved: readonly Moved[],
  lead: number,
  reaches: readonly Reach[],
  over: boolean,
): number | null {
  return touchedBeside(moved, lead, reaches, over).next().value ?? null;
}

/** All inputs that were touched beside the one that moved furthest; see `secondTouched`. */
export function* touchedBeside(
  moved: readonly Moved[],
  lead: number,
  reaches: readonly Reach[],
  over: boolean,
): Generator<number, undefined> {
  const furthest = reaches[lead]?.peak ?? 0;
  const [landed, left] = half(moved, lead, furthest);
  for (const [input, { peak, limit }] of reaches.entries()) {
    if (input === lead || peak <= limit || peak < NOTABLE * furthest) continue;
    if (peak >= ALIKE * furthest) {
      yield input;
      continue;
    }
    // When a small change began is lost in its noise.
    if (peak < 2 * limit) continue;
    const [otherLanded, otherLeft] = half(moved, input, peak);
    const apart = Math.abs(otherLanded - landed) > LANDS_WITH;
    if (apart || (over && Math.abs(otherLeft - left) > LEAVES_WITH)) yield input;
  }
}
