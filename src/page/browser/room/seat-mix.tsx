import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Slider } from '../parts/slider.js';
import { Toggle } from '../parts/toggle.js';
import { texts } from '../texts/texts.js';

interface SeatMixProps {
  readonly connection: Connection;
  readonly seat: PageSeat;
}

/** How loud a seat is among the others. */
export function SeatLevel({ connection, seat }: SeatMixProps) {
  const t = texts.value.room;
  return (
    <Slider
      label={t.level}
      spoken={t.ofSeat(t.level, seat.name)}
      value={seat.mix.level}
      least={0}
      most={1}
      step={0.01}
      words={t.percent}
      disabled={connection.guest.value}
      onMove={(value) => ask(connection, { ask: 'seat', seat: seat.id, level: value })}
    />
  );
}

type Flag = 'mute' | 'solo' | 'lead';

/** Whether a seat is heard, alone, or before the others. */
export function SeatFlags({ connection, seat, flags }: SeatMixProps & FlagsProps) {
  const t = texts.value.room;
  const help = { mute: t.muteHelp, solo: t.soloHelp, lead: t.leadHelp };
  return (
    <div class="row flags">
      {flags.map((flag) => (
        <Toggle
          key={flag}
          on={seat.mix[flag]}
          label={t.ofSeat(t[flag], seat.name)}
          title={help[flag]}
          disabled={connection.guest.value}
          onToggle={(now) => void ask(connection, { ask: 'seat', seat: seat.id, [flag]: now })}
        >
          {t[flag]}
        </Toggle>
      ))}
    </div>
  );
}

interface FlagsProps {
  readonly flags: readonly Flag[];
}
