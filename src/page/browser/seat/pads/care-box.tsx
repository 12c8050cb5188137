import { texts } from '../../texts/texts.js';
import { careFor } from './care.js';

/** The usual cautions, where one of these next steps is work with heat or blades. */
export function CareBox({ steps }: { readonly steps: readonly string[] }) {
  const { heat, blade } = careFor(steps);
  if (!heat && !blade) return null;
  const words = texts.value.seat.pads.care;
  return (
    <div class="seat-care" role="note">
      <p>
        <strong>{words.heading}</strong>
      </p>
      {heat ? <p>{words.heat}</p> : null}
      {blade ? <p>{words.blade}</p> : null}
    </div>
  );
}
