import type { Connection } from '../../connection.js';
import { Help } from '../../parts/help.js';
import { seatById } from '../../parts/seat-by-id.js';
import { linkTo } from '../../route.js';
import { texts } from '../../texts/texts.js';
import type { PageSeat } from '../../../link/state.js';
import { Refused, useAsking } from '../asking.js';
import { GuideBegin } from './guide-begin.js';
import { GuideEnd } from './guide-end.js';
import { GuideSteps } from './guide-steps.js';
import { goesOn, stepWords } from './guide-words.js';
import { useKeptFocus } from './kept-focus.js';

interface GuideSectionProps {
  readonly connection: Connection;
  readonly seat: number;
  readonly of: PageSeat;
}

/** Wiring and calibration as guided steps. */
export function GuideSection({ connection, seat, of }: GuideSectionProps) {
  const words = texts.value.seat.guide;
  const asking = useAsking(connection);
  const now = connection.state.guide.value;
  const own = now?.seat === seat ? now : null;
  const other = now && !own && goesOn(now) ? seatById(connection, now.seat) : undefined;
  const stage = own === null ? 'none' : goesOn(own) ? 'steps' : 'end';
  const focus = useKeptFocus(stage);
  return (
    <section
      class={`sheet stack seat-guide${stage === 'steps' ? ' seat-guide-on' : ''}`}
      aria-labelledby="seat-guide"
      ref={focus.section}
    >
      <h3 id="seat-guide" tabIndex={-1} ref={focus.heading}>
        {own === null ? words.heading : words[own.guide].name}
      </h3>
      {own === null ? <Help>{words.help}</Help> : null}
      {/* It is always there, so that every change of it is read out. */}
      <p class="seat-step" role="status">
        {own === null ? null : stepWords(own, of.padNames, words)}
      </p>
      {own && stage === 'steps' ? <GuideSteps {...{ connection, asking, of }} guide={own} /> : null}
      {own && stage === 'end' ? <GuideEnd {...{ connection, asking, of }} guide={own} /> : null}
      {other ? (
        <p>
          {words.elsewhere(other.name)}{' '}
          <a href={linkTo({ view: 'seat', name: other.name })}>{words.there(other.name)}</a>
        </p>
      ) : null}
      {own === null && !other ? <GuideBegin {...{ connection, asking, seat, of }} /> : null}
      <Refused asking={asking} />
    </section>
  );
}
