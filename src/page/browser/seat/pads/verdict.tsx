import { Shape, Status, type Standing } from '../../parts/status.js';
import { texts } from '../../texts/texts.js';
import type { PadVerdict } from '../../../link/state.js';

export type Grade = PadVerdict['grade'];

/** What must be fixed first comes first. */
export const GRADES: readonly Grade[] = ['bad', 'weak', 'heard', 'unheard', 'good'];

const STANDING: Readonly<Record<Grade, Standing>> = {
  good: 'good',
  weak: 'warn',
  bad: 'bad',
  heard: 'plain',
  unheard: 'plain',
};

/** A verdict by its word and its shape. */
export function VerdictWord({ grade }: { readonly grade: Grade }) {
  return <Status standing={STANDING[grade]}>{texts.value.seat.pads.grades[grade]}</Status>;
}

/** The shape alone, where there is room for no word; the word is for screen readers. */
export function VerdictMark({ grade }: { readonly grade: Grade }) {
  return (
    <span class={`status status-${STANDING[grade]}`}>
      <Shape standing={STANDING[grade]} />
      <span class="unseen">{texts.value.seat.pads.grades[grade]}</span>
    </span>
  );
}
