import { useEffect, useMemo } from 'preact/hooks';
import { printedOrder } from '../../../instrument/instrument-pads.js';
import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
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
  readonly of: PageSeat;
}

/** One seat, closely: what its pads feel, what needs fixing, and how touches become notes. */
export function SeatView({ connection, of }: SeatViewProps) {
  const { id: seat } = of;
  useWatch(connection, seat);
  // Each change brings a new seat object, though its pads stay the same.
  const printed = printedOrder(of.instrument).join(' ');
  const order = useMemo(() => printed.split(' ').map(Number), [printed]);
  const own = connection.state.guide.value?.seat === seat ? connection.state.guide.value : null;
  const levels = (
    <LevelsSection
      key="levels"
      {...{ connection, of, order }}
      drawn={own !== null && goesOn(own)}
    />
  );
  const pads = <PadsSection key="pads" {...{ connection, of, order }} />;
  const guide = <GuideSection key="guide" {...{ connection, seat, of }} />;
  return (
    <div class={`seat-view${own ? ' seat-guided' : ''}`}>
      <SeatHead connection={connection} seat={seat} of={of} />
      <SeatParts />
      {/* What is asked for comes before all else while the hands are on the instrument, else what to fix. */}
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
