import { useId } from 'preact/hooks';
import { Shape, type Standing } from '../parts/status.js';
import { language, texts } from '../texts/texts.js';
import { loudnessView, type LoudnessStanding } from './loudness-view.js';
import type { SoundHere } from './sound-here.js';
import type { Speaker } from './speaker.js';

/** The ends of the bar, in LUFS. */
const LOW = -50;
const HIGH = 0;

const SHAPE: Readonly<Record<LoudnessStanding, Standing>> = {
  ...{ silent: 'plain', quiet: 'good', usual: 'good', near: 'warn', held: 'warn' },
};

interface LoudnessHereProps {
  readonly here: SoundHere;
  readonly speaker: Speaker;
}

/** How loud this device is, against the ceiling: a bar, words, and numbers. It is read out only when asked for. */
export function LoudnessHere({ here, speaker }: LoudnessHereProps) {
  const t = texts.value.sound;
  const label = useId();
  const loudness = speaker.loudness.value;
  if (!loudness) return null;
  const ceiling = here.ceiling.value;
  const view = loudnessView(loudness, ceiling, here.level.value);
  const format = new Intl.NumberFormat(language.value, { maximumFractionDigits: 0 });
  const number = (value: number): string =>
    value > -100 ? format.format(Math.round(value)).replace('-', '−') : t.nothing;
  const words = t.standing[view.standing];
  const numbers =
    ceiling.loudness === null
      ? t.lufsOpen(number(view.lufs))
      : t.lufs(number(view.lufs), number(ceiling.loudness));
  const held = view.standing === 'held' ? `, ${t.heldBy(number(view.limiting))}` : '';
  const silent = view.standing === 'silent';
  return (
    <div class="field">
      <span id={label}>{t.loudness}</span>
      <div
        class="loudness"
        role="meter"
        aria-labelledby={label}
        aria-valuemin={LOW}
        aria-valuemax={HIGH}
        aria-valuenow={Math.round(Math.min(HIGH, Math.max(LOW, view.lufs)))}
        aria-valuetext={silent ? words : `${words}: ${numbers}${held}`}
      >
        <div class="loudness-now" style={{ width: share(view.lufs) }} />
        {ceiling.loudness !== null && (
          <div class="loudness-most" style={{ left: share(ceiling.loudness) }} />
        )}
      </div>
      <p class={`status status-${SHAPE[view.standing]}`} aria-hidden="true">
        <Shape standing={SHAPE[view.standing]} />
        <span>
          {words}
          {held}
        </span>
      </p>
      <p class="help" aria-hidden="true">
        {silent ? t.nothing : numbers}
      </p>
      <p class="help">{t.peak(number(view.peak), number(ceiling.peak))}</p>
    </div>
  );
}

function share(lufs: number): string {
  return `${String(Math.min(100, Math.max(0, (100 * (lufs - LOW)) / (HIGH - LOW))))}%`;
}
