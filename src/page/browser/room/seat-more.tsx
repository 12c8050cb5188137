import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Choice } from '../parts/choice.js';
import { Slider } from '../parts/slider.js';
import { Status } from '../parts/status.js';
import { texts } from '../texts/texts.js';
import { soundOptions } from './sound-options.js';

interface SeatMoreProps {
  readonly connection: Connection;
  readonly seat: PageSeat;
}

/** A seat's sound, its place between left and right, and the rules it plays by. */
export function SeatMore({ connection, seat }: SeatMoreProps) {
  const t = texts.value.room;
  const guest = connection.guest.value;
  const names = connection.state.room.value?.rulesNames ?? [];
  const { kind } = seat.instrument;
  const soundLabel = kind === 'hits' ? t.kit : t.sound;
  return (
    <div class="stack">
      <p class="soft tile-about" lang="en">
        {seat.instrument.name}
      </p>
      <p class="soft tile-about">
        {t.from}: <span lang="en">{seat.from}</span>
      </p>
      <Choice
        label={soundLabel}
        spoken={t.ofSeat(soundLabel, seat.name)}
        value={String(seat.mix.sound)}
        options={soundOptions(kind, texts.value)}
        disabled={guest}
        onChoose={(value) =>
          void ask(connection, { ask: 'seat', seat: seat.id, sound: Number(value) })
        }
      />
      <Slider
        label={t.pan}
        spoken={t.ofSeat(t.pan, seat.name)}
        value={seat.mix.pan}
        least={-1}
        most={1}
        step={0.05}
        words={t.panWords}
        disabled={guest}
        onMove={(pan) => ask(connection, { ask: 'seat', seat: seat.id, pan })}
      />
      <Choice
        label={t.rules}
        spoken={t.ofSeat(t.rules, seat.name)}
        value={seat.rules.name}
        options={names.map((name) => ({ value: name, words: name }))}
        disabled={guest}
        onChoose={(name) => void ask(connection, { ask: 'rules', seat: seat.id, name })}
      />
      {seat.rules.tried.length > 0 ? <Status standing="warn">{t.rulesTried}</Status> : null}
      {seat.rules.fault === null ? null : (
        <Status standing="bad">
          <span lang="en">{seat.rules.fault}</span>
        </Status>
      )}
    </div>
  );
}
