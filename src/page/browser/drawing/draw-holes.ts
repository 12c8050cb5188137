import type { HolesInstrument } from '../../../instrument/types.js';
import type { Drawing, PadShape } from './shapes.js';

const MARGIN = 0.03;
const HEIGHT = 0.4;
const MOUTH = 0.15;
const SIGN = 0.13;
const WIDEST = 0.14;

/**
 * A pipe that lies on its side: the mouth on the left, the holes to the right as the file lists them. They
 * lie a little above and below each other in turn, so that each has room for a finger on a small screen.
 */
export function drawHoles({ holes, mouth }: HolesInstrument): Drawing {
  const begins = mouth === null ? 2 * MARGIN : 2 * MARGIN + MOUTH;
  const room = 1 - begins - SIGN - MARGIN;
  const wide = Math.min(WIDEST, room / holes.length);
  const size = Math.min(wide * 1.3, HEIGHT * 0.3);
  const shared = { place: 0, note: 0 };
  const pads: PadShape[] = holes.map((pad, i) => {
    const x = begins + i * wide;
    const upper = i % 2 === 0;
    const reach = {
      x: x - wide / 2,
      y: upper ? 0 : HEIGHT / 2,
      width: 2 * wide,
      height: HEIGHT / 2,
    };
    const y = HEIGHT / 2 - (upper ? size : 0) + (upper ? -0.004 : 0.004);
    const box = { x: x + (wide - size) / 2, y, width: size, height: size };
    return { pad, role: 'hole', round: true, nth: i + 1, ...shared, ...box, reach };
  });
  if (mouth !== null) {
    const reach = { x: 0, y: 0, width: begins - wide / 2, height: HEIGHT };
    const box = { x: MARGIN, y: HEIGHT * 0.22, width: MOUTH, height: HEIGHT * 0.56 };
    pads.push({ pad: mouth, role: 'mouth', round: false, nth: 0, ...shared, ...box, reach });
  }
  const ends = begins + holes.length * wide;
  const sign = {
    x: ends + 2 * MARGIN,
    y: HEIGHT * 0.3,
    width: SIGN - 2 * MARGIN,
    height: HEIGHT * 0.4,
  };
  const line = { x1: begins, x2: ends, y: HEIGHT * 0.95 };
  const body = { x: 0, y: HEIGHT * 0.1, width: ends + 1.3 * MARGIN, height: HEIGHT * 0.8 };
  return { kind: 'holes', height: HEIGHT, body, pads, places: [{ line, sign }] };
}
