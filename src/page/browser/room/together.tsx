import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Help, More } from '../parts/help.js';
import { Slider } from '../parts/slider.js';
import { texts } from '../texts/texts.js';
import { EngineRow } from './engine-row.js';
import { ScaleLock } from './scale-lock.js';

interface TogetherProps {
  readonly connection: Connection;
}

/** The most notes that the slider goes to; a room that has more keeps what it has. */
const VOICES = 128;

/** What everybody shares: how loud it is, which notes are played, how many at once. */
export function Together({ connection }: TogetherProps) {
  const t = texts.value.room;
  return (
    <section class="together sheet stack" aria-labelledby="together">
      <h2 id="together">{t.together}</h2>
      <Engines connection={connection} />
      <div class="folds">
        <More summary={t.loudnessMeans}>
          <Help>{t.loudnessHelp}</Help>
        </More>
        <Shares connection={connection} />
      </div>
    </section>
  );
}

/** Apart, since it is drawn again some times a second. */
function Engines({ connection }: TogetherProps) {
  const engines = connection.state.engines.value ?? [];
  return (
    <ul class="engines">
      {engines.map((engine) => (
        <EngineRow key={engine.id} connection={connection} engine={engine} />
      ))}
    </ul>
  );
}

function Shares({ connection }: TogetherProps) {
  const t = texts.value.room;
  const room = connection.state.room.value;
  const guest = connection.guest.value;
  if (!room) return null;
  return (
    <More summary={t.shares}>
      <div class="together-parts">
        <ScaleLock connection={connection} scale={room.scale} />
        <Slider
          label={t.duck}
          value={room.duck}
          least={0}
          most={Math.max(24, room.duck)}
          step={1}
          words={t.duckWords}
          disabled={guest}
          onMove={(duck) => ask(connection, { ask: 'room', duck })}
        />
        <Slider
          label={t.voices}
          value={room.voices}
          least={1}
          most={Math.max(VOICES, room.voices)}
          step={1}
          words={t.voicesWords}
          disabled={guest}
          onMove={(voices) => ask(connection, { ask: 'room', voices })}
        />
      </div>
    </More>
  );
}
