import { body, hiss, skin, type DrumRecipe } from './drum-recipe.js';

/*
 * Wood, hands, beads, scrapes and whistles. For where the figures come from see skins.ts.
 */

const wood = (hz: number, t60: number): DrumRecipe => ({
  body: body({ partials: [hz, 2.57 * hz, 4.1 * hz], tilt: 0.45, t60 }),
  hiss: hiss({ level: 0.25, hz: 3_000, t60: 0.012 }),
});

const scrape = (count: number, every: number): DrumRecipe => ({
  body: body({ level: 0.15, partials: [1_150, 2_400], t60: 0.1 }),
  hiss: hiss({ hz: 3_000, q: 1.5, t60: 0.06, strokes: [count, every, 0.03], first: 0.6 }),
});

const whistle = (hold: number): DrumRecipe => ({
  skin: skin({ hz: 2_350, drop: -0.1, fall: 0.01, t60: 0.06, hold, trill: [32, 0.03] }),
  hiss: hiss({ level: 0.15, hz: 3_500, t60: hold + 0.1 }),
});

/** What is neither skin nor metal, by General MIDI percussion key. */
export const RATTLES: Readonly<Record<number, DrumRecipe>> = {
  37: {
    body: body({ partials: [520, 1_720, 2_480, 3_600], tilt: 0.8, t60: 0.16 }),
    hiss: hiss({ level: 0.3, hz: 3_200, t60: 0.05 }),
  },
  39: {
    hiss: hiss({ hz: 1_250, q: 1, t60: 0.25, strokes: [3, 0.011, 0.03], first: 0.9 }),
  },
  58: {
    body: body({ level: 0.3, partials: [1_150, 2_760, 3_480], t60: 0.5 }),
    hiss: hiss({ hz: 2_700, q: 2, t60: 0.05, strokes: [26, 0.021, 0.04], first: 4 }),
  },
  69: {
    hiss: hiss({
      shape: 'high',
      hz: 5_500,
      t60: 0.07,
      rise: 0.012,
      strokes: [1, 0.05, 0.08],
      first: 0.5,
    }),
  },
  70: { hiss: hiss({ shape: 'high', hz: 5_000, t60: 0.1, rise: 0.006 }) },
  71: whistle(0.09),
  72: whistle(0.45),
  73: scrape(9, 0.009),
  74: scrape(26, 0.013),
  75: wood(2_480, 0.18),
  76: wood(1_080, 0.22),
  77: wood(790, 0.26),
};
