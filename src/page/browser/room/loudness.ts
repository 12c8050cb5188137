import type { Ceiling } from '../../../instrument/ceiling.js';
import type { Texts } from '../texts/en.js';

/** A loudness that a page was told; infinite ones are null in JSON. */
export type Told = number | null | undefined;

/** What is shown: from silence, 0, at this many LUFS to 1 at 0 LUFS. */
const SILENCE = -60;
/** Closer to the ceiling than this, in LU, is near it. */
const NEAR = 3;
/** Turned down by less than this, in dB, is not heard. */
const HEARD = 0.5;

/** How far along a bar from 0 to 1 a loudness lies. */
export function barAt(lufs: Told): number {
  return Math.min(1, Math.max(0, 1 - (lufs ?? SILENCE) / SILENCE));
}

/** What a loudness means, in a sentence. */
export function loudnessWords(
  shortTerm: Told,
  limiting: Told,
  ceiling: Ceiling | null,
  { loudnessWords: words }: Texts['room'],
): string {
  if (shortTerm === null || shortTerm === undefined || shortTerm < SILENCE) return words.silent;
  if ((limiting ?? 0) >= HEARD) return words.held(limiting ?? 0);
  const most = ceiling?.loudness ?? null;
  return most !== null && shortTerm > most - NEAR ? words.near : words.below;
}
