import { Button } from '../parts/button.js';
import { Status, type Standing } from '../parts/status.js';
import type { Connection } from '../connection.js';
import { linkTo } from '../route.js';
import { texts } from '../texts/texts.js';
import type { PageSeat } from '../../link/state.js';
import { Refused, useAsking } from './asking.js';
import { momentOf } from './moment.js';

interface SeatHeadProps {
  readonly connection: Connection;
  readonly seat: number;
  readonly of: PageSeat;
}

const STANDING: Readonly<Record<PageSeat['plugged'], Standing>> = {
  here: 'good',
  waiting: 'plain',
  silent: 'bad',
  lost: 'bad',
};

/** Whose seat it is, how it is, and what to do where something stands in the way. */
export function SeatHead({ connection, seat, of }: SeatHeadProps) {
  const words = texts.value.seat;
  const asking = useAsking(connection);
  const moment = momentOf(connection.link.value, connection.state.room.value, of);
  const canPlug = of.screen && of.plugged !== 'here' && !connection.guest.value;
  return (
    <header class="stack">
      <p>
        <a href={linkTo({ view: 'room' })}>{texts.value.shell.toRoom}</a>
      </p>
      <h2>{words.title(of.name)}</h2>
      <p class="row">
        <Status standing={STANDING[of.plugged]}>{words.plugged[of.plugged]}</Status>
        <span lang="en">{of.instrument.name}</span>
        <span class="soft">{words.from(of.from)}</span>
        <span class="soft">{of.build === null ? words.build.none : words.build.of(of.build)}</span>
      </p>
      {/* Always there, so that what appears in it is read out. */}
      <div role="status">
        {moment === null ? null : (
          <div class="seat-moment">
            <p>
              <strong>{words.moments[moment].what}</strong>
            </p>
            <p>{words.moments[moment].next}</p>
          </div>
        )}
      </div>
      {canPlug ? (
        <div class="row">
          <Button
            look="strong"
            onPress={() => void asking.ask({ ask: 'plug', seat, plugged: true })}
          >
            {words.moments.plugHere}
          </Button>
        </div>
      ) : null}
      <Refused asking={asking} />
    </header>
  );
}
