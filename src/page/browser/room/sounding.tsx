import { useEffect, useRef } from 'preact/hooks';
import { NO_NOTE } from '../../link/frames.js';
import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { onFrame } from '../drawing/loop.js';
import { noteLabel } from '../drawing/pad-label.js';
import { texts } from '../texts/texts.js';

interface SoundingProps {
  readonly connection: Connection;
  readonly seat: PageSeat;
}

/** The words change at most so often, in ms: they are to be read. */
const EVERY = 150;

/** Which notes of a seat sound, in words that are set without drawing the page again. */
export function Sounding({ connection, seat }: SoundingProps) {
  const element = useRef<HTMLSpanElement>(null);
  const t = texts.value;
  const { id, slice } = seat;
  const { kind } = seat.instrument;
  useEffect(() => {
    const span = element.current;
    if (!span) return;
    let last = -Infinity;
    let before = -1;
    return onFrame(span, id, (now) => {
      const levels = connection.levels.slices.get(slice);
      if (now - last < EVERY || !levels) return;
      const sum = levels.notes.reduce((all, note) => (all * 31 + note) | 0, 7);
      if (sum === before) return;
      [last, before] = [now, sum];
      const notes = [...levels.notes].filter((note) => note !== NO_NOTE);
      const words = notes.map((note) => noteLabel(kind, note, t)).join(', ');
      span.textContent = words === '' ? t.room.nothingSounds : words;
    });
  }, [connection, id, slice, kind, t]);
  return (
    <p class="sounding">
      {t.room.sounding}: <span ref={element}>{t.room.nothingSounds}</span>
    </p>
  );
}
