import type { Instrument, Rules } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import type { Seated } from '../../src/time/alongside.js';
import type { Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import type { GradeName } from '../sim/grades.js';
import { scansOf } from '../sim/readings.js';
import { buildUnit, FULL, trueBuild, type SimUnit } from '../sim/unit.js';
import { PLAIN } from '../support/bass.js';
import { shipped } from '../support/kinds.js';
import { bodyOf, phrase } from './class-players.js';

/** One of a class: a unit with its build, and what its player means. */
export interface Pupil {
  readonly unit: SimUnit;
  readonly plan: SeatPlan;
  readonly seed: number;
  /** Grows as the pupil plays. */
  readonly wanted: ListedNote[];
}

/**
 * These players are careful and brush no strings: with the plain rules' wait for brushes one soft note
 * of a chord in about 65,000 notes came 50.8 ms after its pluck, beyond the 50 ms of the score.
 */
const RULES: Rules = { ...PLAIN, strings: { ...PLAIN.strings, brush: null } };

/** Eight of each string instrument, eight keyboards, four pipes and four drum sets. */
const KINDS = [
  'bass-4x4',
  'ukulele-4x6',
  'keys-13',
  'bass-4x4',
  'pipe-8',
  'keys-13',
  'ukulele-4x6',
];
const names = [...KINDS, 'drums-6', ...KINDS, 'drums-6', ...KINDS, 'drums-6', ...KINDS, 'drums-6'];

export function classOf(grade: GradeName, seed: number): Pupil[] {
  const instruments = new Map<string, Instrument>(names.map((name) => [name, shipped(name)]));
  return names.map((name, i) => {
    const instrument = instruments.get(name)!;
    const unit = buildUnit(grade, seed * 100 + i, bodyOf(instrument));
    const pads = { pads: unit.pads, build: trueBuild(unit, 0), full: FULL, decided: false };
    return { unit, plan: { instrument, rules: RULES, pads }, seed: seed * 100 + i, wanted: [] };
  });
}

/** All that one pupil's unit reads, phrase after phrase. */
function* readings({ unit, plan, seed, wanted }: Pupil, length: Micros): Generator<Scan, void> {
  let begins = 0;
  for (let n = 0; ; n++) {
    const { instrument, rules } = plan;
    const played = phrase(instrument, rules, seed, n);
    if (begins + played.length > length) return;
    for (const note of played.wanted) wanted.push({ ...note, onset: note.onset + begins });
    const stretch = { label: `class/${String(n)}`, ...played, begins };
    for (const scan of scansOf(unit, stretch)) yield { ...scan, t: scan.t + begins };
    begins += played.length;
  }
}

/** What all units read, in the order of time. */
export function* classReadings(
  pupils: readonly Pupil[],
  length: Micros,
): Generator<Seated<Scan>, void> {
  const sources = pupils.map((pupil) => readings(pupil, length));
  const heads = sources.map((source) => source.next());
  for (;;) {
    let seat = -1;
    let t = Infinity;
    for (const [i, head] of heads.entries()) {
      if (head.done || head.value.t >= t) continue;
      t = head.value.t;
      seat = i;
    }
    const head = heads[seat];
    if (!head || head.done) return;
    yield { type: 'seated', t, seat, event: head.value };
    heads[seat] = sources[seat]!.next();
  }
}
