import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { Connection } from '../../connection.js';
import { InstrumentDrawing } from '../../drawing/instrument-drawing.js';
import { Choice } from '../../parts/choice.js';
import { Help } from '../../parts/help.js';
import { Toggle } from '../../parts/toggle.js';
import { texts } from '../../texts/texts.js';
import type { PageSeat } from '../../../link/state.js';
import { Legend } from './legend.js';
import { Strip } from './strip-chart.js';
import { isForPage } from './space-key.js';

interface LevelsSectionProps {
  readonly connection: Connection;
  readonly of: PageSeat;
  readonly order: readonly number[];
  /** Whether its drawing is shown elsewhere on the page. */
  readonly drawn: boolean;
}

const SPANS = [2, 5, 10] as const;

/** The levels over the last seconds against the thresholds; Space stops the picture and lets it go on. */
export function LevelsSection({ connection, of, order, drawn }: LevelsSectionProps) {
  const words = texts.value.seat.levels;
  const frozen = useSignal(false);
  const seconds = useSignal(5);
  useEffect(() => {
    const press = (event: KeyboardEvent): void => {
      if (!isForPage(event)) return;
      event.preventDefault();
      frozen.value = !frozen.value;
    };
    addEventListener('keydown', press);
    return () => {
      removeEventListener('keydown', press);
    };
  }, []);
  return (
    <section class="sheet stack" aria-labelledby="seat-levels">
      <h3 id="seat-levels" tabIndex={-1}>
        {words.heading}
      </h3>
      <Help>{words.help}</Help>
      {of.screen && !drawn ? <InstrumentDrawing connection={connection} seat={of} /> : null}
      <div class="row seat-levels-controls">
        <Toggle
          on={frozen.value}
          title={frozen.value ? words.frozen : words.going}
          onToggle={(on) => {
            frozen.value = on;
          }}
        >
          {words.freeze}
        </Toggle>
        <Choice
          label={words.span}
          value={String(seconds.value)}
          options={SPANS.map((span) => ({ value: String(span), words: words.seconds(span) }))}
          onChoose={(value) => {
            seconds.value = Number(value);
          }}
        />
        <span class="soft">{frozen.value ? words.frozen : words.going}</span>
      </div>
      <Legend />
      <Strip {...{ connection, of, order }} frozen={frozen.value} seconds={seconds.value} />
    </section>
  );
}
