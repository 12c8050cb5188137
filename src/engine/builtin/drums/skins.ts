import { body, hiss, skin, type DrumRecipe } from './drum-recipe.js';

/*
 * Skins. All figures of the recipes were chosen by the spectrum and from memory of the instruments, not
 * taken from a source. How loud each is in the end: drum-gains.ts.
 */

const tom = (hz: number): DrumRecipe => ({
  skin: skin({ hz, drop: 0.5, fall: 0.05, t60: 0.9 * (75 / hz) ** 0.4 }),
  body: body({ level: 0.25, partials: [1.59 * hz, 2.14 * hz, 2.65 * hz], t60: 0.3 }),
  hiss: hiss({ level: 0.25, hz: 900, t60: 0.06 }),
});

const hand = (hz: number, t60: number): DrumRecipe => ({
  skin: skin({ hz, drop: 0.15, fall: 0.012, t60 }),
  body: body({ level: 0.3, partials: [1.59 * hz, 2.3 * hz, 2.92 * hz], t60: t60 / 2 }),
  hiss: hiss({ level: 0.25, hz: 1_800, t60: 0.04 }),
});

const metalShell = (hz: number): DrumRecipe => ({
  skin: skin({ hz, drop: 0.12, fall: 0.02, t60: 0.5 }),
  body: body({ level: 0.45, partials: [1.59, 2.14, 2.9, 3.9].map((r) => r * hz), t60: 0.35 }),
  hiss: hiss({ level: 0.3, hz: 2_500, t60: 0.06 }),
});

/** Drums with skins by General MIDI percussion key. The partials 1.59 and 2.14 are an ideal skin's. */
export const SKINS: Readonly<Record<number, DrumRecipe>> = {
  35: {
    skin: skin({ hz: 47, drop: 2, fall: 0.03, t60: 0.7 }),
    hiss: hiss({ level: 0.4, hz: 1_000, t60: 0.02 }),
  },
  36: {
    skin: skin({ hz: 56, drop: 2.6, fall: 0.022, t60: 0.5 }),
    hiss: hiss({ level: 0.5, hz: 2_000, t60: 0.02 }),
  },
  38: {
    skin: skin({ level: 0.8, hz: 185, drop: 0.6, fall: 0.015, t60: 0.22 }),
    body: body({ level: 0.3, partials: [331], t60: 0.12 }),
    hiss: hiss({ hz: 3_500, q: 0.4, t60: 0.3 }),
  },
  40: {
    skin: skin({ level: 0.8, hz: 240, drop: 0.4, fall: 0.01, t60: 0.16 }),
    body: body({ level: 0.3, partials: [428, 690], t60: 0.1 }),
    hiss: hiss({ hz: 4_500, q: 0.5, t60: 0.2 }),
  },
  41: tom(76),
  43: tom(92),
  45: tom(110),
  47: tom(132),
  48: tom(158),
  50: tom(190),
  60: hand(430, 0.3),
  61: hand(320, 0.35),
  62: hand(345, 0.2),
  63: hand(265, 0.5),
  64: hand(195, 0.55),
  65: metalShell(340),
  66: metalShell(245),
  78: { skin: skin({ hz: 620, drop: -0.4, fall: 0.03, t60: 0.18, hold: 0.04 }) },
  79: { skin: skin({ hz: 380, drop: 0.55, fall: 0.12, t60: 0.3, hold: 0.15 }) },
};
