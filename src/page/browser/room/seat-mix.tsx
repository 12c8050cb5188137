import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Slider } from '../parts/slider.js';
import { Toggle } from '../parts/toggle.js';
import { texts } from '../texts/texts.js';

interface SeatMixProps {
  readonly connection: Connection;
  readonly index: number;
  readonly seat: PageSeat;
}

/** How loud a seat is among the others: what is reached for most. */
export function SeatMixControls({ connection, index, seat }: SeatMixProps) {
  const t = texts.value.room;
  const { level, mute, solo, lead } = seat.mix;
  const guest = connection.guest.value;
  const flags = [
    { name: 'mute', on: mute, words: t.mute, help: t.muteHelp },
    { name: 'solo', on: solo, words: t.solo, help: t.soloHelp },
    { name: 'lead', on: lead, words: t.lead, help: t.leadHelp },
  ] as const;
  return (
    <>
      <Slider
        label={t.level}
        spoken={t.ofSeat(t.level, seat.name)}
        value={level}
        least={0}
        most={1}
        step={0.01}
        words={t.percent}
        disabled={guest}
        onMove={(value) => ask(connection, { ask: 'seat', seat: index, level: value })}
      />
      <div class="row flags">
        {flags.map(({ name, on, words, help }) => (
          <Toggle
            key={name}
            on={on}
            label={t.ofSeat(words, seat.name)}
            title={help}
            disabled={guest}
            onToggle={(now) => void ask(connection, { ask: 'seat', seat: index, [name]: now })}
          >
            {words}
          </Toggle>
        ))}
      </div>
    </>
  );
}
