import type { KeysInstrument } from '../../../instrument/types.js';
import type { Drawing, PadShape, PlaceShape } from './shapes.js';

const MARGIN = 0.02;
const GAP = 0.006;
/** Not wider than this, so that three keys are still keys. */
const WIDEST = 0.2;
const HEIGHT = 0.48;
/** Of a white key: how long and how wide a black one is. */
const BLACK_LONG = 0.56;
const BLACK_WIDE = 0.66;

const isBlack = (note: number): boolean => [1, 3, 6, 8, 10].includes(note % 12);

/** Keys from the left as the file lists them; black ones between white ones where they can lie so. */
export function drawKeys({ keys }: KeysInstrument): Drawing {
  const notes = keys.map(({ note }) => note);
  const piano = notes.every((note, i) => {
    const before = notes[i - 1];
    return before === undefined || (note > before && !(isBlack(note) && isBlack(before)));
  });
  const black = notes.map((note) => piano && isBlack(note));
  const columns =
    black.filter((one) => !one).length + (black[0] ? 0.5 : 0) + (black.at(-1) ? 0.5 : 0);
  const wide = Math.min(WIDEST, (1 - 2 * MARGIN) / Math.max(1, columns));
  const left = (1 - wide * columns) / 2;
  let column = black[0] ? 0.5 : 0;
  const pads: PadShape[] = [];
  const places: PlaceShape[] = [];
  keys.forEach(({ note, pad }, place) => {
    const long = HEIGHT - 2 * MARGIN;
    const dark = black[place] === true;
    const width = dark ? wide * BLACK_WIDE : wide;
    const x = left + column * wide - (dark ? width / 2 : 0);
    const reach = { x, y: MARGIN, width, height: dark ? long * BLACK_LONG : long };
    if (!dark) column++;
    const gap = Math.min(GAP, width * 0.15);
    const box = { x: x + gap, width: width - 2 * gap, y: reach.y, height: reach.height };
    const role = dark ? 'black-key' : 'key';
    pads.push({ pad, role, round: false, place, nth: 0, note, ...box, reach });
    const sign = { x: box.x, width: box.width, height: 0.1, y: box.y + box.height - 0.1 };
    places.push({ line: null, sign });
  });
  const body = { x: left - MARGIN / 2, y: 0, width: wide * columns + MARGIN, height: HEIGHT };
  return { kind: 'keys', height: HEIGHT, body, pads, places };
}
