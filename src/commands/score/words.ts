import { pitchName } from '../../instrument/pitch.js';
import type { Alignment } from '../../score/align.js';
import type { ListedNote } from '../../takes/read-notes.js';
import { SECOND, type Micros } from '../../time/micros.js';
import type { OnsetDelay, Rates, Score } from '../../score/score.js';

/** More than this many missed or added notes are counted, not listed. */
const MOST = 10;
const LABEL = 15;
const FIGURE = 11;

/** Whether the wanted notes were moved, or might better be. */
interface Aligned {
  /** null: nobody asked for it, or they fit nowhere. */
  readonly moved?: Micros | null;
  readonly better?: Alignment | null;
}

function betterWords({ shift, right }: Alignment, wanted: number): string {
  const which =
    right === wanted ? `all ${String(wanted)}` : `${String(right)} of ${String(wanted)}`;
  return `Moved by ${inSeconds(shift)}, ${which} would be right: add --align to have them moved.`;
}

const inSeconds = (t: Micros): string => `${t > 0 ? '+' : ''}${(t / SECOND).toFixed(3)} s`;

/** The plain report: a figure a line with what it means, then where notes were missed or added. */
export function reportLines(
  { missed, added, matched, ...rates }: Score,
  within: string,
  { moved = null, better = null }: Aligned = {},
): readonly string[] {
  const { onsetDelay, velocityRank, withOffsets } = rates;
  const wanted = matched.length + missed.length;
  const played = matched.length + added.length;
  return [
    `${counted(wanted, 'note')} wanted, ${String(played)} played, ${String(matched.length)} right ` +
      `(the same pitch, at most ${within} early or late)`,
    ...(moved === null ? [] : [`The wanted notes were moved by ${inSeconds(moved)} to fit.`]),
    ...(better ? [betterWords(better, wanted)] : []),
    '',
    ...rateLines(rates),
    line('missed', String(missed.length), 'wanted notes that did not sound'),
    line('added', String(added.length), 'notes that sounded and were not wanted'),
    ...delayLines(onsetDelay),
    line('velocity', correlationFigure(velocityRank.correlation), velocityWords(velocityRank)),
    line('F with ends', endsFigure(withOffsets), endsWords(withOffsets)),
    ...listed('missed', missed),
    ...listed('added', added),
  ];
}

function rateLines({ f, precision, recall }: Rates): string[] {
  return [
    line('F', share(f), 'precision and recall in one; 1.000 is all right and nothing more'),
    line('precision', share(precision), 'which part of the played notes was right'),
    line('recall', share(recall), 'which part of the wanted notes was played'),
  ];
}

function line(label: string, figure: string, meaning: string): string {
  return `  ${label.padEnd(LABEL)}${figure.padStart(FIGURE)}   ${meaning}`;
}

/** Rounded down, so that 1.000 never stands for a little less than all. */
function share(value: number): string {
  return (Math.floor(value * 1000 + 1e-9) / 1000).toFixed(3);
}

function inMs(micros: number): string {
  // Rounded as a number first: toFixed alone writes a little less than nothing as -0.0.
  return `${(Math.round(micros / 100) / 10 + 0).toFixed(1)} ms`;
}

function delayLines(delay: OnsetDelay | null): string[] {
  if (delay === null)
    return [line('onset delay', '-', 'how late right notes began: none was right')];
  const { median, p99, mean, spread } = delay;
  return [
    line('onset delay', inMs(median), 'how late right notes began: half of them at most this'),
    line('  99 %', inMs(p99), 'and nearly all of them at most this'),
    line('  mean', inMs(mean), `and on average this, give or take ${inMs(spread)}`),
  ];
}

function correlationFigure(correlation: number | null): string {
  return correlation === null ? '-' : share(correlation);
}

function velocityWords({ correlation, pairs, with: asked }: Score['velocityRank']): string {
  if (correlation !== null) {
    const firmer = asked === 'strength' ? 'harder touches' : 'notes wanted louder';
    return `whether ${firmer} sounded louder: 1.000 always, 0.000 by chance`;
  }
  return pairs < 2
    ? 'loud and soft as wanted: too few right notes say how loud they were wanted'
    : 'loud and soft as wanted: all were wanted, or all sounded, alike';
}

function endsFigure(rates: Rates | null): string {
  return rates === null ? '-' : share(rates.f);
}

function endsWords(rates: Rates | null): string {
  return rates === null
    ? 'the ends of notes count too: not every wanted note says when it ends'
    : 'the ends of notes count too: 50 ms off, or a fifth of a long note, is right';
}

function listed(title: string, notes: readonly ListedNote[]): string[] {
  if (notes.length === 0) return [];
  const lines = notes
    .slice(0, MOST)
    .map(({ onset, note }) => `  ${(onset / 1e6).toFixed(3).padStart(9)} s  ${pitchName(note)}`);
  const more = notes.length - lines.length;
  return ['', `${title}:`, ...lines, ...(more > 0 ? [`  and ${String(more)} more`] : [])];
}

export function counted(count: number, noun: string): string {
  return `${String(count)} ${noun}${count === 1 ? '' : 's'}`;
}
