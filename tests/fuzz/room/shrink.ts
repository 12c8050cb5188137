/**
 * The shortest part of a list that still fails, as far as it can be found by leaving pieces out, halves
 * first ("ddmin": Zeller and Hildebrandt, IEEE Transactions on Software Engineering 28(2), 2002).
 *
 * @param fails whether a part fails; asked for at most `tries` parts
 */
export async function shrink<T>(
  all: readonly T[],
  fails: (part: readonly T[]) => Promise<boolean>,
  tries = 400,
): Promise<readonly T[]> {
  let part = all;
  let pieces = 2;
  let left = tries;
  while (part.length > 1 && left > 0) {
    const size = Math.ceil(part.length / pieces);
    let smaller: readonly T[] | null = null;
    for (let from = 0; from < part.length && left > 0 && !smaller; from += size) {
      const rest = [...part.slice(0, from), ...part.slice(from + size)];
      left--;
      if (rest.length > 0 && (await fails(rest))) smaller = rest;
    }
    if (smaller) {
      part = smaller;
      pieces = Math.max(2, pieces - 1);
    } else if (size === 1) break;
    else pieces = Math.min(part.length, pieces * 2);
  }
  return part;
}
