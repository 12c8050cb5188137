import { levelsOf, type LevelsFrame } from '../../../src/page/link/levels-frame.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import { layoutOf } from './made-up-seat.js';

/** Levels that all move: waves over the pads, with touches at their crests and notes that go with them. */
export function movingLevels(seats: readonly PageSeat[], layout = 1): (t: number) => LevelsFrame {
  const levels: LevelsFrame = levelsOf(layoutOf(seats, layout));
  return (t) => {
    levels.frame++;
    levels.t = t * 1e6;
    [...levels.slices.values()].forEach((seat, s) => {
      for (let pad = 0; pad < seat.pads.length; pad++) {
        const wave = Math.sin(t * (1.5 + (pad % 5) * 0.4) + pad + s);
        seat.pads[pad] = Math.max(0, Math.round(230 * wave));
        seat.touched[pad] = wave > 0.7 ? 1 : 0;
      }
      const instrument = seats[s]!.instrument;
      for (let string = 0; string < seat.notes.length; string++) {
        const on = Math.sin(t * 1.3 + string * 2 + s) > 0;
        const base =
          instrument.kind === 'strings'
            ? instrument.strings[string]!.open + (Math.floor(t + string) % 4)
            : instrument.kind === 'keys'
              ? instrument.keys[string]!.note
              : instrument.kind === 'hits'
                ? instrument.hits[string]!.drum
                : 76;
        seat.notes[string] = on ? base : 255;
        seat.strengths[string] = on ? 120 + Math.round(100 * Math.sin(t + string)) : 0;
      }
    });
    return levels;
  };
}
