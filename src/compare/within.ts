import type { Rules } from '../instrument/types.js';
import { SECOND, type Micros } from '../time/micros.js';
import { ONSET_WITHIN } from '../score/score.js';

/** Beyond this, two notes are hardly one and the same. */
export const FARTHEST: Micros = SECOND;

/**
 * How far onsets of one and the same note may be apart under two rule sets: as far as a right note
 * may be from the wanted one, and as much more as one of them may put it off longer than the other.
 * A pipe that waits 55 ms for its fingers is not to miss all notes of one that waits for 5 ms.
 */
export function sameWithin(a: Rules, b: Rules): Micros {
  const apart = (of: (rules: Rules) => Micros | null): Micros =>
    Math.abs((of(a) ?? 0) - (of(b) ?? 0));
  const waits = [
    apart(({ strength }) => (strength.readings > 0 ? strength.within : 0)),
    apart(({ strings }) => (strings['wait-for-fret'] === 'never' ? 0 : strings['late-fret'])),
    apart(({ strings }) => (strings['wait-for-pluck'] === 'never' ? 0 : strings['pluck-after'])),
    apart(({ strings }) => strings.brush),
    apart(({ holes }) => holes.settle),
  ];
  // How many readings are waited for counts in time of the board, which is at most `within`.
  if (a.strength.readings !== b.strength.readings) {
    waits[0] = Math.max(waits[0]!, a.strength.within, b.strength.within);
  }
  if (a.holes['mouth-waits'] !== b.holes['mouth-waits']) {
    waits[4] = Math.max(a.holes.settle, b.holes.settle);
  }
  return Math.min(FARTHEST, ONSET_WITHIN + waits.reduce((sum, one) => sum + one, 0));
}
