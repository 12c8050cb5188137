import type { StringsInstrument } from '../../../instrument/types.js';
import type { Drawing, PadShape, PlaceShape } from './shapes.js';

/** Of the width: the open string's name, the pluck pads, and the sign of what sounds. */
const NUT = 0.075;
const PLUCK = 0.16;
const SIGN = 0.105;
const MARGIN = 0.02;
/** Between pads, and how high a string's row is. */
const GAP = 0.014;
const ROW = 0.15;

/** Strings from top to bottom as the file lists them; frets to the right of the nut, then the pluck pads. */
export function drawStrings({ strings }: StringsInstrument): Drawing {
  const height = strings.length * ROW + 2 * MARGIN;
  const most = Math.max(1, ...strings.map(({ frets }) => frets.length));
  const neck = 1 - NUT - PLUCK - SIGN - MARGIN;
  const fretAt = (fret: number): number => NUT + (neck * fretPlace(fret)) / fretPlace(most);
  const pads: PadShape[] = [];
  const places: PlaceShape[] = [];
  strings.forEach(({ open, frets, pluck }, place) => {
    const y = MARGIN + place * ROW;
    const inner = { y: y + GAP, height: ROW - 2 * GAP };
    const outer = { y, height: ROW };
    const shared = { round: false, place, note: open };
    frets.forEach((pad, i) => {
      const [x, end] = [fretAt(i), fretAt(i + 1)];
      const reach = { x, width: end - x, ...outer };
      const gap = Math.min(GAP, (end - x) * 0.15);
      const box = { x: x + gap, width: end - x - 2 * gap, ...inner };
      pads.push({ pad, role: 'fret', nth: i + 1, ...shared, ...box, reach });
    });
    const x = NUT + neck;
    const reach = { x, width: PLUCK, ...outer };
    const box = { x: x + 2 * GAP, width: PLUCK - 3 * GAP, ...inner };
    pads.push({ pad: pluck, role: 'pluck', nth: 0, ...shared, ...box, reach });
    places.push({
      line: { x1: NUT, x2: x + PLUCK, y: y + ROW / 2 },
      sign: { x: x + PLUCK, width: SIGN, y: y + GAP, height: ROW - 2 * GAP },
    });
  });
  const body = { x: NUT, y: 0, width: neck + PLUCK, height };
  return { kind: 'strings', height, body, pads, places };
}

/** Where a fret lies between the nut, 0, and the bridge, 1: each halves the octave's rest in twelfths. */
function fretPlace(fret: number): number {
  return 1 - 2 ** (-fret / 12);
}
