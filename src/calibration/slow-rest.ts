import { SECOND, type Micros } from '../time/micros.js';
import { median } from '../pads/series.js';

/** Long beside a touch, short beside drift: less than half of it is spent touching one pad. */
const WINDOW: Micros = 8 * SECOND;
const EVERY: Micros = SECOND / 2;
/** More values make the middle one no surer, only slower to find. */
const MOST = 240;

/**
 * Where a pad rests over time, in raw counts: the middle of the readings around, those left out for
 * which `out` says so.
 *
 * @returns as long as the series; NaN before a pad's first reading
 */
export function slowRest(
  times: readonly Micros[],
  raws: Float64Array,
  out: Uint8Array | null,
): Float64Array {
  const rest = new Float64Array(raws.length).fill(NaN);
  const [first, last] = [times[0], times.at(-1)];
  if (first === undefined || last === undefined) return rest;
  const knots: { t: Micros; value: number }[] = [];
  let [from, to] = [0, 0];
  for (let t = first; ; t = Math.min(last, t + EVERY)) {
    while (to < times.length && times[to]! <= t + WINDOW / 2) to++;
    while (from < to && times[from]! < t - WINDOW / 2) from++;
    const value = middle(raws, out, from, to);
    if (!Number.isNaN(value)) knots.push({ t, value });
    if (t >= last) break;
  }
  if (knots.length === 0) return rest;
  let k = 0;
  for (let i = 0; i < rest.length; i++) {
    if (Number.isNaN(raws[i]!)) continue;
    while (k + 1 < knots.length && knots[k + 1]!.t <= times[i]!) k++;
    const [a, b] = [knots[k]!, knots[Math.min(k + 1, knots.length - 1)]!];
    const share = b.t > a.t ? Math.min(1, Math.max(0, (times[i]! - a.t) / (b.t - a.t))) : 0;
    rest[i] = a.value + share * (b.value - a.value);
  }
  return rest;
}

function middle(raws: Float64Array, out: Uint8Array | null, from: number, to: number): number {
  // An odd stride, so that hum at a whole fraction of the scan rate is met at all of its phases.
  const stride = 2 * Math.floor((to - from) / MOST / 2) + 1;
  const values: number[] = [];
  for (let k = from; k < to; k += stride) if (!out?.[k]) values.push(raws[k]!);
  return median(values);
}
