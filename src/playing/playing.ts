import type { Instrument, Rules } from '../instrument/types.js';
import type { TouchEvent } from '../pads/touch.js';
import type { AnyStage } from '../time/stage.js';
import { hits } from './hits.js';
import { holes } from './holes.js';
import { keys } from './keys.js';
import type { NoteEvent } from './note.js';
import { strings } from './strings.js';

/** touches → notes, as the kind of instrument asks. */
export function playing(instrument: Instrument, rules: Rules): AnyStage<TouchEvent, NoteEvent> {
  switch (instrument.kind) {
    case 'strings':
      return strings(instrument, rules);
    case 'keys':
      return keys(instrument, rules);
    case 'holes':
      return holes(instrument, rules);
    case 'hits':
      return hits(instrument, rules);
  }
}
