import { keep, kept } from '../parts/kept.js';

const KEY = 'speaker-level';
/** Low at first: nobody knows yet how loud this device is. */
const FIRST_LEVEL = 0.5;

/** This device's own level as a person set it, for all that sounds on it: 0 to 1, on the amplitude. */
export function levelHere(): number {
  const level = Number(kept(KEY) ?? FIRST_LEVEL);
  return level >= 0 && level <= 1 ? level : FIRST_LEVEL;
}

export function keepLevelHere(level: number): void {
  keep(KEY, String(level));
}
