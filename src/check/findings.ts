import { padCount } from '../instrument/instrument-pads.js';
import type { Instrument } from '../instrument/types.js';
import { SECOND, MILLISECOND } from '../time/micros.js';
import { FIT_RATIO } from '../calibration/calibrate.js';
import type { Finding, PadCheck, SpareInput, Timing, Verdict } from './types.js';

/** At most 10 ms from gesture to sound (Wessel & Wright, Computer Music Journal 26(3), 2002). */
const SLOWEST = 10 * MILLISECOND;
/** 10 ± 3 ms was judged worse than a steady 10 (Jack et al., Music Perception 36(1), 2018). */
const UNEVEN = 3 * MILLISECOND;
/** One scan lost or late in a hundred is a late touch now and then; one in ten, that anybody hears. */
const LOST = 0.01;
const MUCH_LOST = 0.1;

/** How many notes of the instrument need a pad: all of its string for a pluck, one for a fret. */
function notesOf(instrument: Instrument, pad: number, held: boolean): number {
  if (instrument.kind === 'holes') {
    const { holes, mouth, fingerings } = instrument;
    const hole = holes.indexOf(pad);
    if (pad === mouth || held) return fingerings.length;
    return fingerings.filter((one) => one.holes[hole] === 'closed').length;
  }
  if (instrument.kind !== 'strings') return 1;
  for (const { frets, pluck } of instrument.strings) {
    if (pad === pluck) return frets.length + 1;
    const fret = frets.indexOf(pad);
    // The highest held fret stops the string: one that is always held hides all below it.
    if (fret >= 0) return held ? fret + 1 : 1;
  }
  return 1;
}

/** Which part of a pad's notes a fault spoils. */
function partOf({ kind, grade }: Verdict, { ratio, ghosts, drift }: PadCheck): number {
  const small = grade === 'watch' ? 0.2 : 1;
  switch (kind) {
    case 'noisy':
    case 'weak':
      return small * (ratio === null ? 1 : Math.max(0.1, 1 - ratio / FIT_RATIO));
    case 'coupled':
      return small * Math.min(1, ghosts[0]?.level ?? 0);
    case 'drifting':
      return small * Math.min(1, drift ?? 0);
    default:
      return small;
  }
}

function padFindings(pads: readonly PadCheck[], instrument: Instrument): Finding[] {
  const found = new Map<string, Finding>();
  for (const check of pads) {
    for (const verdict of check.verdicts) {
      const { kind, why, grade } = verdict;
      const key = [kind, why, grade].join();
      const held = kind === 'held' && grade === 'mend';
      const harm = partOf(verdict, check) * notesOf(instrument, check.pad, held);
      const so = found.get(key) ?? { kind, why, grade, pads: [], harm: 0 };
      found.set(key, { ...so, pads: [...so.pads, check.pad], harm: so.harm + harm });
    }
  }
  return [...found.values()];
}

function unitFindings(
  timing: Timing,
  spare: readonly SpareInput[],
  instrument: Instrument,
): Finding[] {
  const notes = padCount(instrument);
  const findings: Finding[] = [];
  const add = (kind: Finding['kind'], bad: boolean, part: number): void => {
    findings.push({
      kind,
      why: null,
      grade: bad ? 'mend' : 'watch',
      pads: [],
      harm: part * notes,
    });
  };
  const { interval, jitter, lost, gaps, scans } = timing;
  const missing = (lost ?? 0) / Math.max(1, (lost ?? 0) + scans);
  if (missing >= LOST) add('lost', missing >= MUCH_LOST, missing);
  const late = gaps / Math.max(1, scans);
  if (lost === null && late >= LOST) add('late', late >= MUCH_LOST, late);
  if (interval !== null && interval > SLOWEST) add('slow', interval > 2 * SLOWEST, 0.2);
  if (jitter !== null && jitter >= UNEVEN) add('uneven', false, 0.1);
  if (spare.length > 0) add('spare', false, 0);
  return findings;
}

/** All faults of a unit, pads with the same one together; what must be fixed and costs most, first. */
export function findingsOf(
  pads: readonly PadCheck[],
  timing: Timing,
  spare: readonly SpareInput[],
  instrument: Instrument,
): Finding[] {
  const all = [...padFindings(pads, instrument), ...unitFindings(timing, spare, instrument)];
  const rank = ({ grade }: Finding): number => (grade === 'mend' ? 0 : 1);
  return all.sort((a, b) => rank(a) - rank(b) || b.harm - a.harm);
}

/** Scans a second; null where it cannot be told. */
export function rateOf({ interval }: Timing): number | null {
  return interval === null || interval <= 0 ? null : SECOND / interval;
}
