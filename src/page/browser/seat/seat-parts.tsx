import { texts } from '../texts/texts.js';

/** Leads to the parts of a long page, without changing where the page is. */
export function SeatParts() {
  const words = texts.value.seat;
  const parts = [
    ['seat-pads', words.pads.heading],
    ['seat-levels', words.levels.heading],
    ['seat-guide', words.guide.heading],
    ['seat-record', words.record.heading],
    ['seat-rules', words.rules.heading],
  ] as const;
  return (
    <nav class="row seat-parts" aria-label={words.parts}>
      {parts.map(([id, heading]) => (
        <button
          key={id}
          type="button"
          class="button"
          onClick={() => {
            const target = document.getElementById(id);
            target?.scrollIntoView({ block: 'start' });
            target?.focus({ preventScroll: true });
          }}
        >
          {heading}
        </button>
      ))}
    </nav>
  );
}
