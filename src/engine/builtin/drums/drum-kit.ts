import { within } from '../loudness.js';
import type { DrumRecipe } from './drum-recipe.js';
import { PLATES } from './plates.js';
import { RATTLES } from './rattles.js';
import { SKINS } from './skins.js';

/** The percussion keys of General MIDI. */
export const FIRST_DRUM = 35;
export const LAST_DRUM = 81;

const KIT: Readonly<Record<number, DrumRecipe>> = { ...SKINS, ...PLATES, ...RATTLES };

/** The nearest percussion key that General MIDI has. */
export function drumKeyOf(note: number): number {
  return within(Math.round(note), FIRST_DRUM, LAST_DRUM);
}

/** The recipe for a General MIDI percussion key; the nearest one's for keys outside 35 to 81. */
export function drumOf(key: number): DrumRecipe {
  return KIT[drumKeyOf(key)]!;
}
