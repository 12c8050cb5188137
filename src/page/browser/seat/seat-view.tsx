import { useEffect, useMemo } from 'preact/hooks';
import { printedOrder } from '../../../instrument/instrument-pads.js';
import type { Connection } from '../connection.js';
import { linkTo } from '../route.js';
import { texts } from '../texts/texts.js';
import { GuideSection } from './guide/guide-section.js';
import { goesOn } from './guide/guide-words.js';
import { LevelsSection } from './levels/levels-section.js';
import { PadsSection } from './pads/pads-section.js';
import { RecordSection } from './record/record-section.js';
import { RulesSection } from './rules/rules-section.js';
import { SeatHead } from './seat-head.js';
import { SeatParts } from './seat-parts.js';

interface SeatViewProps {
  readonly connection: Connection;
  /** Its number, in the order of the room file. */
  readonly seat: number;
}

/** One seat, closely: what its pads feel, what needs mending, and how touches become notes. */
export function SeatView({ connection, seat }: SeatViewProps) {
  const words = texts.value.seat;
  useWatch(connection, seat);
  const of = connection.state.seats.value?.[seat];
  // The seat comes anew with each change of it, though its pads stay the same.
  const printed = of ? printedOrder(of.instrument).join(' ') : '';
  const order = useMemo(() => printed.split(' ').map(Number), [printed]);
  if (!of) {
    const loading = connection.state.seats.value === null;
    return loading ? (
      <p>{words.loading}</p>
    ) : (
      <div class="stack">
        <h2>{words.unknown.what(seat + 1)}</h2>
        <p>
          {words.unknown.next} <a href={linkTo({ view: 'room' })}>{texts.value.shell.toRoom}</a>
        </p>
      </div>
    );
  }
  const own = connection.state.guide.value?.seat === seat ? connection.state.guide.value : null;
  const levels = (
    <LevelsSection
      key="levels"
      {...{ connection, seat, of, order }}
      drawn={own !== null && goesOn(own)}
    />
  );
  const pads = <PadsSection key="pads" {...{ connection, seat, of, order }} />;
  const guide = <GuideSection key="guide" {...{ connection, seat, of }} />;
  return (
    <div class={`seat-view${own ? ' seat-guided' : ''}`}>
      <SeatHead connection={connection} seat={seat} of={of} />
      <SeatParts />
      {/* What is asked for comes before all else while the hands are on the instrument, else what to mend. */}
      {own ? [guide, pads, levels] : [pads, levels, guide]}
      <RecordSection connection={connection} seat={seat} />
      <RulesSection {...{ connection, seat, of }} />
    </div>
  );
}

/** Asks for this seat's levels and verdicts while it is looked at; after a lost link, the connection does. */
function useWatch(connection: Connection, seat: number): void {
  useEffect(() => {
    void connection.ask({ ask: 'watch', seat });
    return () => {
      void connection.ask({ ask: 'watch', seat: null });
    };
  }, [connection, seat]);
}
