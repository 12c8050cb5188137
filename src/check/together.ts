import { MILLISECOND, type Micros } from '../time/micros.js';
import type { Unit } from './check.js';
import type { Found, FoundTouch } from '../calibration/find-touches.js';
import type { Series } from '../pads/series.js';
import { touchedBeside, type Moved, type Reach } from '../wiring/shape.js';

/** Touches that follow one another sooner than this were one, of several pads. */
const APART: Micros = 40 * MILLISECOND;
/** A reading this many standard deviations from rest is no noise. */
const SURE = 6;

/** Pads that were touched while others were: by what the readings show, and by what is told of others. */
export function togetherOf(
  series: Series,
  found: Found,
  { wiring, together = [] }: Pick<Unit, 'wiring' | 'together'>,
): ReadonlySet<number> {
  const told = together.flatMap((input) => wiring[input] ?? []);
  const seen = stretchesOf(series, found.touches).flatMap((stretch) =>
    inStretch(series, found, stretch),
  );
  return new Set([...told, ...seen]);
}

interface Stretch {
  readonly from: number;
  to: number;
}

function stretchesOf({ times }: Series, touches: readonly FoundTouch[]): Stretch[] {
  const stretches: Stretch[] = [];
  for (const { from, to } of [...touches].sort((a, b) => a.from - b.from)) {
    const last = stretches.at(-1);
    if (last && times[from]! - times[last.to - 1]! <= APART) last.to = Math.max(last.to, to);
    else stretches.push({ from, to });
  }
  return stretches;
}

/** The pads beside the one that moved furthest which moved by a finger of their own. */
function inStretch({ times }: Series, { change, sigma }: Found, { from, to }: Stretch): number[] {
  const sizes = change.map((own) => own.slice(from, to).map(Math.abs));
  const reaches = sizes.map((own, pad): Reach => {
    const peak = own.reduce((top, size) => (size > top ? size : top), 0);
    return { peak, limit: Math.max(1, SURE * sigma[pad]!) };
  });
  const lead = reaches.reduce((top, { peak }, pad) => (peak > reaches[top]!.peak ? pad : top), 0);
  const moved = Array.from({ length: to - from }, (_, k): Moved => {
    const changes = Float64Array.from(sizes, (own) => own[k]!);
    return { t: times[from + k]!, changes };
  });
  return [...touchedBeside(moved, lead, reaches, true)];
}
