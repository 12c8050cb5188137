import { useId } from 'preact/hooks';
import type { PageEngine } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { ask } from '../parts/ask.js';
import { Toggle } from '../parts/toggle.js';
import { texts } from '../texts/texts.js';
import { barAt, loudnessWords, type Told } from './loudness.js';

interface EngineRowProps {
  readonly connection: Connection;
  readonly engine: PageEngine;
}

/** One engine: how loud it is under its ceiling, and whether it is on. */
export function EngineRow({ connection, engine }: EngineRowProps) {
  const t = texts.value.room;
  const { id, name, on, loudness, ceiling } = engine;
  return (
    <li class="engine">
      <div class="engine-head">
        <h3 lang="en">{name}</h3>
        <Toggle
          on={on}
          label={t.engineOf(name)}
          disabled={connection.guest.value}
          onToggle={(now) => void ask(connection, { ask: 'engine', engine: id, on: now })}
        >
          {t.engineOn}
        </Toggle>
      </div>
      {on ? null : <p>{t.engineOff}</p>}
      {on && loudness === null ? (
        <p class="soft">{ceiling === null ? t.noLoudness : t.notHeard}</p>
      ) : null}
      {on && loudness !== null ? (
        <div class="engine-loud">
          <Meter label={t.momentary} value={loudness.momentary} ceiling={ceiling?.loudness} />
          <Meter label={t.shortTerm} value={loudness.shortTerm} ceiling={ceiling?.loudness} />
          <p>
            {loudnessWords(loudness.shortTerm, loudness.limiting, ceiling, t)}{' '}
            <span class="soft">
              {typeof ceiling?.loudness === 'number'
                ? t.ceilingAt(t.lufs(ceiling.loudness))
                : t.noCeiling}
            </span>
          </p>
        </div>
      ) : null}
    </li>
  );
}

interface MeterProps {
  readonly label: string;
  readonly value: Told;
  readonly ceiling: Told;
}

function Meter({ label, value, ceiling }: MeterProps) {
  const id = useId();
  const t = texts.value.room;
  const words = typeof value === 'number' ? t.lufs(value) : t.silentNow;
  const percent = (lufs: Told): string => `${(barAt(lufs) * 100).toFixed(1)}%`;
  return (
    <div class="meter">
      <span id={id}>{label}</span>
      <div
        class="meter-bar"
        role="meter"
        aria-labelledby={id}
        aria-valuemin={-60}
        aria-valuemax={0}
        aria-valuenow={Math.max(-60, Math.min(0, value ?? -60))}
        aria-valuetext={words}
      >
        <div class="meter-fill" style={{ inlineSize: percent(value) }} />
        {typeof ceiling === 'number' ? (
          <div class="meter-ceiling" style={{ insetInlineStart: percent(ceiling) }} />
        ) : null}
      </div>
      <span class="meter-words">{words}</span>
    </div>
  );
}
