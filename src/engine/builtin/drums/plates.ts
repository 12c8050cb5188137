import { body, hiss, type DrumRecipe } from './drum-recipe.js';

/*
 * Cymbals, hi-hats and other thin metal. For where the figures come from see skins.ts.
 */

/** Partials that stand in no simple ratio, as those of a plate do. */
const plate = (hz: number, count = 12): number[] =>
  [1, 1.37, 1.63, 2.11, 2.48, 2.93, 3.19, 3.71, 4.07, 4.53, 5.09, 5.57]
    .slice(0, count)
    .map((ratio) => ratio * hz);

const hat = (hz: number, t60: number): DrumRecipe => ({
  body: body({ level: 0.5, partials: plate(2_900, 7), tilt: 1.1, t60 }),
  hiss: hiss({ shape: 'high', hz, t60 }),
});

const crash = (hz: number, t60: number): DrumRecipe => ({
  body: body({ level: 0.4, partials: plate(640), tilt: 0.95, t60: 1.2 * t60 }),
  hiss: hiss({ shape: 'high', hz, q: 0.5, t60 }),
});

const ride = (hz: number): DrumRecipe => ({
  body: body({ level: 0.9, partials: plate(hz), tilt: 1.05, t60: 2 }),
  hiss: hiss({ level: 0.5, shape: 'high', hz: 6_000, t60: 1 }),
});

const bell = (partials: readonly number[], t60: number): DrumRecipe => ({
  body: body({ partials, tilt: 0.75, t60 }),
  hiss: hiss({ level: 0.3, hz: 5_000, t60: 0.015 }),
});

/** Metal by General MIDI percussion key. */
export const PLATES: Readonly<Record<number, DrumRecipe>> = {
  42: hat(8_000, 0.13),
  44: hat(6_500, 0.17),
  46: hat(7_500, 0.9),
  49: crash(3_200, 2),
  51: ride(830),
  52: crash(1_900, 1.4),
  53: bell([745, 1_490, 2_310, 3_290, 4_480, 5_750], 1.6),
  54: {
    body: body({ level: 0.6, partials: plate(4_100, 5), tilt: 1, t60: 0.25 }),
    hiss: hiss({ shape: 'high', hz: 8_000, t60: 0.2, strokes: [2, 0.028, 0.1], first: 0.5 }),
  },
  55: crash(4_500, 0.9),
  56: bell([587, 845, 1_420, 1_990, 2_630], 0.35),
  57: crash(2_700, 1.7),
  59: ride(720),
  67: bell([905, 1_930, 2_870, 4_350], 0.45),
  68: bell([655, 1_400, 2_080, 3_150], 0.5),
  80: bell([3_950, 5_730, 7_260, 9_410], 0.16),
  81: bell([3_950, 5_730, 7_260, 9_410], 2.2),
};
