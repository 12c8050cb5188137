import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import type { PageGuide, PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { InstrumentDrawing } from '../drawing/instrument-drawing.js';
import { ask } from '../parts/ask.js';
import { Button } from '../parts/button.js';
import { More } from '../parts/help.js';
import { Status } from '../parts/status.js';
import { linkTo } from '../route.js';
import { texts } from '../texts/texts.js';
import { SeatFlags, SeatLevel } from './seat-mix.js';
import { SeatMore } from './seat-more.js';
import { Sounding } from './sounding.js';

export interface SeatTileProps {
  readonly connection: Connection;
  readonly seat: PageSeat;
  /** Another seat is solo, so that this one is silent. */
  readonly hushed: boolean;
  /** There are many: what is reached for seldom is folded away. */
  readonly dense: boolean;
  /** It is silent, since its wiring or calibration is being learned. */
  readonly guided: PageGuide['guide'] | null;
}

const STANDING = { waiting: 'plain', here: 'good', silent: 'bad', lost: 'bad' } as const;

/** One seat in the room. */
export function SeatTile({ connection, seat, hushed, dense, guided }: SeatTileProps) {
  const id = useId();
  const opened = useSignal(false);
  const t = texts.value.room;
  const { name, instrument, plugged, mix } = seat;
  const silent = mix.mute || hushed || guided !== null;
  return (
    <li class={`tile sheet stack${silent ? ' tile-silent' : ''}`}>
      <article class="stack" aria-labelledby={id}>
        <div class="tile-head">
          <h3 id={id}>
            <a href={linkTo({ view: 'seat', name })} aria-label={t.openSeat(name)}>
              {name}
            </a>
          </h3>
          <Status standing={STANDING[plugged]}>{t.plugged[plugged]}</Status>
        </div>
        {dense ? null : (
          <p class="soft tile-about" lang="en">
            {instrument.name}
          </p>
        )}
        <InstrumentDrawing connection={connection} seat={seat} />
        <div class="row tile-now">
          <Sounding connection={connection} seat={seat} />
          {seat.screen ? <Plug connection={connection} seat={seat} /> : null}
          {guided ? <Status standing="warn">{t.guided[guided]}</Status> : null}
          {mix.mute ? <Status standing="warn">{t.mutedWord}</Status> : null}
          {hushed && !mix.mute ? <Status standing="warn">{t.othersSolo}</Status> : null}
        </div>
        <SeatLevel connection={connection} seat={seat} />
        <SeatFlags
          {...{ connection, seat }}
          flags={dense ? ['mute', 'solo'] : ['mute', 'solo', 'lead']}
        />
        <More
          summary={t.more}
          onToggle={(open) => {
            opened.value = open;
          }}
        >
          {opened.value ? (
            <div class="stack">
              {dense ? <SeatFlags {...{ connection, seat }} flags={['lead']} /> : null}
              <SeatMore connection={connection} seat={seat} />
            </div>
          ) : null}
        </More>
      </article>
    </li>
  );
}

function Plug({ connection, seat }: Pick<SeatTileProps, 'connection' | 'seat'>) {
  const t = texts.value.room;
  const here = seat.plugged === 'here';
  return (
    <Button
      label={t.ofSeat(here ? t.unplug : t.plug, seat.name)}
      look={here ? 'plain' : 'strong'}
      disabled={connection.guest.value}
      onPress={() => void ask(connection, { ask: 'plug', seat: seat.id, plugged: !here })}
    >
      {here ? t.unplug : t.plug}
    </Button>
  );
}
