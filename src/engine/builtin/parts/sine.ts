/** How many steps one turn has; straight lines between them stay within 3·10⁻⁷ of the sine. */
const STEPS = 4096;
const TABLE = Float64Array.from({ length: STEPS + 1 }, (_, i) =>
  Math.sin((2 * Math.PI * i) / STEPS),
);

/**
 * The sine of a phase in turns, several times faster than `Math.sin`.
 *
 * @param turns 0 up to, but not including, 1
 */
export function sineOf(turns: number): number {
  const at = turns * STEPS;
  const below = at | 0;
  const low = TABLE[below]!;
  return low + (at - below) * (TABLE[below + 1]! - low);
}
