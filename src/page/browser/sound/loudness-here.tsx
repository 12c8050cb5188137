import { useId } from 'preact/hooks';
import { Shape, type Standing } from '../parts/status.js';
import { texts } from '../texts/texts.js';
import type { Speaker } from './contract.js';
import { decibelWords, loudnessView, type LoudnessStanding } from './loudness-view.js';
import type { SoundHere } from './sound-here.js';

/** The ends of the bar, in LUFS. */
const LOW = -50;
const HIGH = 0;

const SHAPE: Readonly<Record<LoudnessStanding, Standing>> = {
  silent: 'plain',
  quiet: 'good',
  usual: 'good',
  near: 'warn',
  held: 'warn',
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
  const view = loudnessView(loudness, here.ceiling.value, here.level.value);
  const words = t.standing[view.standing];
  const numbers =
    view.mostLufs === null
      ? t.lufsOpen(decibelWords(view.lufs))
      : t.lufs(decibelWords(view.lufs), decibelWords(view.mostLufs));
  const held = view.standing === 'held' ? `, ${t.heldBy(decibelWords(view.limiting))}` : '';
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
        {view.mostLufs !== null && (
          <div class="loudness-most" style={{ left: share(view.mostLufs) }} />
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
      <p class="help">{!silent && t.peak(decibelWords(view.peak), decibelWords(view.mostPeak))}</p>
    </div>
  );
}

function share(lufs: number): string {
  return `${String(Math.min(100, Math.max(0, (100 * (lufs - LOW)) / (HIGH - LOW))))}%`;
}
