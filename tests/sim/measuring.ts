import type { Build, Rules } from '../../src/instrument/types.js';
import { calibratePads } from '../../src/calibration/calibrate.js';
import type { VoiceOn } from '../../src/room/voice.js';
import { rerun } from '../../src/takes/rerun.js';
import { checkScore, spearman } from './check-score.js';
import type { SimSession } from './session.js';

/** How our own program did on one simulated session. Times are microseconds. */
export interface Measured {
  readonly wanted: number;
  readonly right: number;
  readonly missed: number;
  readonly added: number;
  /** From the first contact of a pluck to the note, for each note that was right. */
  readonly delays: readonly number[];
  /** Spearman's, of velocity with the meant strength, over the notes that were right. */
  readonly correlation: number;
  /** Pads that the calibration called unfit. */
  readonly unfit: number;
}

/** Our own calibration of a simulated unit, from its calibration take and its wiring alone. */
export function ownBuild({ unit, calibration }: SimSession): { build: Build; unfit: number } {
  const { scans, header } = calibration;
  const { pads, unfit } = calibratePads(scans, unit.wiring, unit.pads, header.full);
  return { build: { wiring: unit.wiring, pads }, unfit: unfit.length };
}

/** All notes that the whole way makes of a session's take. Whatever a stage throws is thrown on. */
export function ownNotes({ unit, take }: SimSession, build: Build, rules: Rules): VoiceOn[] {
  const notes: VoiceOn[] = [];
  const pads = { pads: unit.pads, build, full: take.header.full, decided: false };
  // A stage's fault is kept and thrown from here: out of a stream it would only end the process later.
  const faults: unknown[] = [];
  rerun(take.scans, { instrument: unit.instrument, pads, rules }, (_seat, _t, error) => {
    faults.push(error);
  }).subscribe({
    next(event) {
      if (event.type === 'on') notes.push(event);
    },
    error: (error) => faults.push(error),
  });
  if (faults.length > 0) throw faults[0] as Error;
  return notes;
}

/** @param build instead of our own calibration, as for the share that calibrating has in the faults */
export function measure(session: SimSession, rules: Rules, build?: Build): Measured {
  const own = build ? { build, unfit: 0 } : ownBuild(session);
  const notes = ownNotes(session, own.build, rules);
  const { wanted } = session;
  const { pairs, missed, added } = checkScore(wanted, notes);
  return {
    wanted: wanted.length,
    right: pairs.length,
    missed,
    added,
    delays: pairs.map(([i, j]) => notes[j]!.t - wanted[i]!.t),
    correlation: spearman(
      pairs.map(([i]) => wanted[i]!.strength),
      pairs.map(([, j]) => notes[j]!.velocity),
    ),
    unfit: own.unfit,
  };
}

/** Several measured sessions as one. */
export interface Summary {
  readonly wanted: number;
  readonly missed: number;
  readonly added: number;
  readonly f: number;
  readonly delayMedian: number;
  readonly delay99: number;
  /** Of the sessions' own correlations: their mean and the lowest. */
  readonly correlation: number;
  readonly lowest: number;
  readonly unfit: number;
}

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Nearest rank. */
function quantile(sorted: readonly number[], q: number): number {
  return sorted[Math.max(0, Math.ceil(q * sorted.length) - 1)] ?? NaN;
}

export function summary(all: readonly Measured[]): Summary {
  const right = sum(all.map((one) => one.right));
  const missed = sum(all.map((one) => one.missed));
  const added = sum(all.map((one) => one.added));
  const delays = all.flatMap((one) => one.delays).sort((a, b) => a - b);
  const correlations = all.map((one) => one.correlation).filter((one) => !Number.isNaN(one));
  const counted = 2 * right + missed + added;
  return {
    wanted: sum(all.map((one) => one.wanted)),
    missed,
    added,
    f: counted === 0 ? 1 : (2 * right) / counted,
    delayMedian: quantile(delays, 0.5),
    delay99: quantile(delays, 0.99),
    correlation: sum(correlations) / correlations.length,
    lowest: correlations.length === 0 ? NaN : Math.min(...correlations),
    unfit: sum(all.map((one) => one.unfit)),
  };
}
