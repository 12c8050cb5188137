import { FULL_TOUCH } from '../../../link/frames.js';

export type LevelWord = 'rest' | 'trace' | 'light' | 'half' | 'full' | 'over';

/** How much of a full touch each word reaches up to. */
const UP_TO: readonly (readonly [number, LevelWord])[] = [
  [0.05, 'rest'],
  [0.15, 'trace'],
  [0.4, 'light'],
  [0.75, 'half'],
  [1.05, 'full'],
];

/** A level as pages are sent it (0 to 255, 200 is a full touch) in a word. */
export function levelWord(byte: number): LevelWord {
  const share = byte / FULL_TOUCH;
  return UP_TO.find(([most]) => share <= most)?.[1] ?? 'over';
}
