import { SECOND, type Micros } from '../../time/micros.js';
import type { Tell } from '../contracts.js';
import type { WrittenSound } from '../takes/sound-file.js';
import { tellLoudness } from './loudness-words.js';

/** What there is to say of a WAV once it is written: how loud it is, and what is not in it. */
export function tellWritten(
  { loudness, shortened, whole }: WrittenSound,
  path: string,
  tell: Tell,
): void {
  tellLoudness(loudness, path, tell);
  const { count, total } = shortened;
  if (count > 0) {
    const gaps =
      count === 1
        ? 'A long gap, in which nothing is played, was shortened'
        : `${String(count)} long gaps, in which nothing is played, were shortened`;
    tell({ level: 'info', what: `${gaps}: ${spanWords(total)} in all are left out`, where: path });
  }
  if (whole) return;
  tell({
    level: 'warn',
    what: 'The sound ends before the playing does: a WAV file holds at most 4 GB, a little more than 6 hours',
    where: path,
    next: 'What is in it can be played; for the rest, use a shorter take',
  });
}

/** @example spanWords(93_780 * SECOND) // '1 day 2 h 3 min' */
export function spanWords(t: Micros): string {
  const seconds = Math.round(t / SECOND);
  if (seconds < 60) return `${String(seconds)} s`;
  const parts = [
    [Math.floor(seconds / 86_400), seconds < 172_800 ? 'day' : 'days'],
    [Math.floor(seconds / 3_600) % 24, 'h'],
    [Math.floor(seconds / 60) % 60, 'min'],
  ] as const;
  return parts
    .filter(([count]) => count > 0)
    .map(([count, unit]) => `${String(count)} ${unit}`)
    .join(' ');
}
