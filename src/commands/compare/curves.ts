import type { Curve } from '../../compare/levels.js';
import { SECOND, type Micros } from '../../time/micros.js';
import { element } from '../check/svg.js';

/** A drawing holds this much time, so that a browser draws only those that are looked at. */
export const CHUNK: Micros = 4 * SECOND;
/** One pad's row, in pixels, and the part of it that levels from 0 to `TOP_LEVEL` take. */
export const ROW = 20;
const DRAWN = 18;
const TOP_LEVEL = 1.1;
/** Levels that stay under this in a whole drawing are left out: the row's own line stands for them. */
const LEAST = 0.03;

/** How far from the top of its row a level lies, in pixels. */
export function levelAt(level: number): number {
  return ROW - (DRAWN * Math.max(-0.1, Math.min(TOP_LEVEL, level))) / TOP_LEVEL;
}

/**
 * The levels of some pads as drawings side by side, each of `CHUNK`, stretched in time by the page.
 *
 * @param curves a pad's a row
 * @param until where the last drawing may end
 */
export function curveChunks(
  curves: readonly Curve[],
  from: Micros,
  until: Micros,
  words: (from: Micros, to: Micros) => string,
): string {
  const chunks: string[] = [];
  const places = curves.map(() => 0);
  for (let begins = from; begins < until; begins += CHUNK) {
    const ends = Math.min(until, begins + CHUNK);
    const rows = curves.map((curve, row) => {
      const { path, next } = rowPath(curve, places[row]!, begins, ends, row * ROW);
      places[row] = next;
      return path;
    });
    if (rows.every((path) => path === '')) continue;
    chunks.push(
      element(
        'svg',
        {
          class: 'chunk',
          role: 'img',
          'aria-label': words(begins, ends),
          style: `--t:${seconds(begins)};--d:${seconds(ends - begins)}`,
          viewBox: `0 0 ${String((ends - begins) / 100)} ${String(10 * curves.length * ROW)}`,
          preserveAspectRatio: 'none',
        },
        ...rows,
      ),
    );
  }
  return chunks.join('\n');
}

/**
 * One pad in one drawing, as an area over its row's line; nothing where the pad rests throughout. It
 * goes on beyond the drawing's edges, which cut it off.
 */
function rowPath(
  { times, levels }: Curve,
  first: number,
  begins: Micros,
  ends: Micros,
  top: number,
): { path: string; next: number } {
  let start = first;
  while (start + 1 < times.length && times[start + 1]! < begins) start += 1;
  let stop = start;
  while (stop + 1 < times.length && times[stop]! <= ends) stop += 1;
  if (!levels.slice(start, stop + 1).some((level) => level >= LEAST)) {
    return { path: '', next: start };
  }
  // Steps from point to point, in tenths of a millisecond and of a pixel: they are short to write.
  const base = 10 * (top + ROW);
  let d = '';
  let pen: { x: number; y: number } | null = null;
  for (let i = start; i <= stop; i++) {
    const level = levels[i]!;
    if (Number.isNaN(level)) {
      if (pen) d += `V${String(base)}Z`;
      pen = null;
      continue;
    }
    const x = Math.round((times[i]! - begins) / 100);
    const y = Math.round(10 * (top + levelAt(level)));
    d += pen ? step(x - pen.x, y - pen.y) : `M${String(x)} ${String(base)}V${String(y)}`;
    pen = { x, y };
  }
  if (pen) d += `V${String(base)}Z`;
  return { path: element('path', { d }), next: start };
}

function step(right: number, down: number): string {
  return `l${String(right)}${down < 0 ? '' : ' '}${String(down)}`;
}

/** Seconds, to a tenth of a millisecond. */
export function seconds(micros: Micros): string {
  return String(Math.round(micros / 100) / 10_000);
}
