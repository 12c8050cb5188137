import { FIT_RATIO, type Calibration, type Unfit } from './calibrate.js';

/** Why a pad is not fit, and what to look at. */
export function unfitWords({ reason, ratio }: Unfit): { what: string; next: string } {
  switch (reason) {
    case 'unheard':
      return {
        what: 'nothing arrives from it',
        next: 'Check its wire at both ends, and whether the board reads that input.',
      };
    case 'untouched':
      return {
        what: 'no touch was seen on it',
        next: 'Touch it and calibrate again; if it stays so, look for a broken joint under the tape.',
      };
    case 'stuck':
      return {
        what: 'it reads the same end value all the time',
        next: 'Look for a short circuit to its neighbour or to ground.',
      };
    case 'weak':
      return {
        what: `a touch is only ${ratio.toFixed(1)} times its noise; it takes ${String(FIT_RATIO)} times`,
        next: 'Make the pad larger, its cover thinner or its wire shorter; it plays, but not surely.',
      };
  }
}

/** How far touching every pad has come; `how` says how to, where none was touched yet. */
export function progressWords(count: number, left: readonly string[], how: string): string {
  if (left.length === 0) return 'All pads were touched';
  if (left.length === count) return how;
  const list = left.length > 6 ? `${left.slice(0, 6).join(', ')}, …` : left.join(', ');
  return `${String(count - left.length)} of ${String(count)} pads touched; still to touch: ${list}`;
}

/** The pads that have not been touched yet, in words. */
export function stillToTouch(
  { touched }: Pick<Calibration, 'touched'>,
  names: readonly string[],
): string[] {
  return touched.flatMap((count, pad) => (count === 0 ? [names[pad] ?? `pad ${String(pad)}`] : []));
}
