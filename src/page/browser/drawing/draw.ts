import type { Instrument } from '../../../instrument/types.js';
import { drawHits } from './draw-hits.js';
import { drawHoles } from './draw-holes.js';
import { drawKeys } from './draw-keys.js';
import { drawStrings } from './draw-strings.js';
import type { Drawing } from './shapes.js';

/** The drawing of an instrument, made from its file alone. */
export function draw(instrument: Instrument): Drawing {
  switch (instrument.kind) {
    case 'strings':
      return drawStrings(instrument);
    case 'keys':
      return drawKeys(instrument);
    case 'holes':
      return drawHoles(instrument);
    case 'hits':
      return drawHits(instrument);
  }
}
