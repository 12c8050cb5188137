import { texts } from '../../texts/texts.js';
import { BEGIN_DASH, END_DASH } from './lines.js';

/** What the lines and marks of the picture mean. */
export function Legend() {
  const words = texts.value.seat.levels;
  return (
    <ul class="row seat-legend">
      <li>
        <Line dash={BEGIN_DASH} /> {words.begins}
      </li>
      <li>
        <Line dash={END_DASH} /> {words.ends}
      </li>
      <li>
        <svg class="seat-sample" viewBox="0 0 40 16" aria-hidden="true">
          <path class="seat-sample-fill" d="M4 12V4H36V12z" />
          <path class="seat-sample-mark" d="M4 12H36V16H4z" />
        </svg>{' '}
        {words.touched}
      </li>
    </ul>
  );
}

function Line({ dash }: { readonly dash: readonly number[] }) {
  return (
    <svg class="seat-sample" viewBox="0 0 40 16" aria-hidden="true">
      <path class="seat-sample-line" d="M0 8H40" stroke-dasharray={dash.join(' ')} />
    </svg>
  );
}
