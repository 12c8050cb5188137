import { useEffect, useRef } from 'preact/hooks';
import { linkTo } from '../route.js';
import { texts } from '../texts/texts.js';

interface NoSeatProps {
  readonly name: string;
  /** It was here while this view was open. */
  readonly left: boolean;
}

/** In place of the view of a seat that is not in the room, or no longer. */
export function NoSeat({ name, left }: NoSeatProps) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    // Whoever was in what has gone reads on here.
    if (left && (document.activeElement ?? document.body) === document.body) {
      heading.current?.focus();
    }
  }, [left]);
  const t = texts.value.shell;
  return (
    <div class="stack">
      <h2 ref={heading} tabIndex={-1}>
        {left ? t.seatLeft(name) : t.noSeat(name)}
      </h2>
      {left ? <p>{t.seatLeftNext}</p> : null}
      <p>
        <a href={linkTo({ view: 'room' })}>{t.toRoom}</a>
      </p>
    </div>
  );
}
