import type { HitsInstrument } from '../../../instrument/types.js';
import type { Drawing, PadShape, PlaceShape } from './shapes.js';

const MARGIN = 0.02;
const GAP = 0.012;
/** As wide as the card allows, and no wider than this. */
const WIDEST = 0.3;

/** Drum pads in rows from the upper left as the file lists them, as they would be laid out on a table. */
export function drawHits({ hits }: HitsInstrument): Drawing {
  const count = hits.length;
  const columns = count <= 3 ? count : Math.ceil(Math.sqrt(count * 1.5));
  const rows = Math.ceil(count / columns);
  const size = Math.min(WIDEST, (1 - 2 * MARGIN) / columns);
  const height = rows * size + 2 * MARGIN;
  const pads: PadShape[] = [];
  const places: PlaceShape[] = [];
  hits.forEach(({ drum, pad }, place) => {
    const row = Math.floor(place / columns);
    const inRow = Math.min(columns, count - row * columns);
    const x = 0.5 + ((place % columns) - inRow / 2) * size;
    const y = MARGIN + row * size;
    const reach = { x, y, width: size, height: size };
    const box = { x: x + GAP, y: y + GAP, width: size - 2 * GAP, height: size - 2 * GAP };
    pads.push({ pad, role: 'drum', round: true, place, nth: 0, note: drum, ...box, reach });
    const sign = { x: x + size * 0.15, width: size * 0.7, y: y + size * 0.66, height: size * 0.2 };
    places.push({ line: null, sign });
  });
  const wide = Math.min(columns, count) * size + 2 * MARGIN;
  const body = { x: (1 - wide) / 2, y: 0, width: wide, height };
  return { kind: 'hits', height, body, pads, places };
}
