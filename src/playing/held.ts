import type { Rules } from '../instrument/types.js';
import type { Micros } from '../time/micros.js';

/** One fret that is held, and since when. */
export interface HeldFret {
  readonly fret: number;
  readonly since: Micros;
}

/** The fret that stops a string, or null for the open string. `held` is in the order of pressing. */
export function stopping(
  held: readonly HeldFret[],
  rule: Rules['strings']['stop'],
): HeldFret | null {
  let stop: HeldFret | null = null;
  for (const one of held) {
    if (
      stop === null ||
      rule === 'latest' ||
      (rule === 'highest' ? one.fret > stop.fret : one.fret < stop.fret)
    ) {
      stop = one;
    }
  }
  return stop;
}
