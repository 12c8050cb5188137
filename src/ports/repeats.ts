/**
 * Counts what happens again and again, so that people are told of it now and then instead of each time.
 *
 * @param kind what is told apart; of more than `MOST_KINDS`, those that were told longest ago are forgotten
 * @param t in the unit of the pause; never falling
 * @returns how often it has happened since people were last told; 0: they are not to be told yet
 */
export type Repeats = (kind: string, t: number, count?: number) => number;

/** A sender that makes up names must not fill the memory. */
const MOST_KINDS = 256;

/** @param pause the same kind is told again so long after at the earliest */
export function repeats(pause: number): Repeats {
  const kinds = new Map<string, { quiet: number; untold: number }>();
  return (kind, t, count = 1) => {
    const known = kinds.get(kind);
    if (known && t < known.quiet) {
      known.untold += count;
      return 0;
    }
    const all = (known?.untold ?? 0) + count;
    kinds.delete(kind);
    kinds.set(kind, { quiet: t + pause, untold: 0 });
    for (const first of kinds.keys()) if (kinds.size > MOST_KINDS) kinds.delete(first);
    return all;
  };
}
