import { padCount } from '../instrument/instrument.js';
import type { Build, Instrument } from '../instrument/types.js';
import type { Scan } from '../wire/scan.js';
import { allTouchesSteps } from './faint.js';
import { findingsOf, rateOf } from './findings.js';
import { couplingShares } from './ghosts.js';
import { humOf } from './hum.js';
import { wanderOf } from './drift.js';
import { elsewhereOf, exchangesOf } from './order.js';
import { LOOKED_EVERY, steadyScans, timingOf, wholeScans } from './scans.js';
import { firmestOf, measureTouches, type MeasuredTouch } from './measure.js';
import { restOf, signalToNoise } from './signal.js';
import { spareInputs } from './spare.js';
import { togetherOf } from './together.js';
import type { Check, Ghost, PadCheck, Verdict } from './types.js';
import { JOINED, NEARLY_ALWAYS, verdictsOf, type Seen } from './verdicts.js';
import { median, seriesOf, type Series } from '../pads/series.js';
import { allSteps, type Steps } from '../calibration/steps.js';

/** Of a full touch, less than this is not listed as a neighbour's. */
const LEAST_GHOST = 0.02;

/** A reading this part of the scale from its end, or nearer, is at the end. */
const AT_END = 1_000;

/** What was checked, for whoever draws it. */
export interface Checked {
  readonly check: Check;
  readonly series: Series;
  readonly touches: readonly MeasuredTouch[];
}

/** What a check works on. */
export interface Unit {
  readonly instrument: Instrument;
  /** `wiring[input]` is the pad on that input; null where nothing is connected. */
  readonly wiring: readonly (number | null)[];
  /** The raw value of full scale. */
  readonly full: number;
  /** The calibration so far, if there is one: tells a pad that is touched all the time. */
  readonly build: Build | null;
  /** True where the wire numbers its messages, so that lost ones can be told from late ones. */
  readonly numbered?: boolean;
  /** Inputs that were seen to be touched beside others, in readings that are not among these. */
  readonly together?: readonly number[];
}

/**
 * Judges a unit by a take in which nobody touched it for a moment and then every pad was touched, one
 * at a time, best in the printed order.
 */
export function checkUnit(events: readonly Scan[], unit: Unit): Checked {
  return allSteps(checkSteps(events, unit));
}

/** The same in small pieces. */
export function* checkSteps(events: readonly Scan[], unit: Unit): Steps<Checked> {
  const { instrument, wiring, full, numbered = false } = unit;
  const count = padCount(instrument);
  const whole = wholeScans(events);
  yield;
  const timing = timingOf(whole, numbered);
  const scans = steadyScans(whole, full);
  const series = seriesOf(scans, wiring, count);
  yield;
  const found = yield* allTouchesSteps(series, timing.interval ?? LOOKED_EVERY);
  yield;
  const { touches, quiet, heldFirst } = measureTouches(series, found);
  yield;
  const rests = series.raws.map((raws, pad) => restOf(raws, quiet[pad]!));
  const noises = rests.map((rest) => rest?.noise ?? null);
  const shares = couplingShares(series, touches, quiet, noises);
  const together = togetherOf(series, found, unit);
  yield;
  const exchanges = exchangesOf(touches, instrument);
  yield;
  const { spare, moved } = spareInputs(scans, wiring, touches);
  yield;

  const firmest = series.raws.map((_, pad) => firmestOf(touches, pad));
  const spans = firmest.map((touch) => (touch ? touch.touched - touch.rest : null));
  const silent = firmest.flatMap((touch, pad) => (touch ? [] : [pad]));
  const elsewhere = elsewhereOf(silent, touches, moved, instrument);
  const ups = spans.filter((span) => span !== null && span > 0).length;
  const downs = spans.filter((span) => span !== null && span < 0).length;
  const rate = rateOf(timing);

  const hums = series.raws.map((raws, pad) =>
    rate === null ? null : humOf(series.times, raws, quiet[pad]!, rate),
  );
  yield;

  const measured = series.raws.map((raws, pad) => {
    const touch = firmest[pad] ?? null;
    const span = spans[pad] ?? null;
    const rest = rests[pad] ?? null;
    // The firmest touch's change on top of the mean rest: what drift did in between does not count.
    const touched = touch && rest && span !== null ? rest.rest + span : null;
    const wander = span === null || span === 0 ? null : wanderOf(series.times, raws, quiet[pad]!);
    return {
      pad,
      inputs: wiring.flatMap((one, input) => (one === pad ? [input] : [])),
      touches: touches.filter((one) => one.pad === pad).length,
      rest: rest?.rest ?? null,
      touched,
      noise: rest?.noise ?? null,
      worstNoise: rest?.worst ?? null,
      ratio: touched === null || !rest ? null : signalToNoise(touched, rest.rest, rest.noise),
      hum: hums[pad] ?? null,
      drift: wander === null || span === null ? null : wander / Math.abs(span),
      ghosts: ghostsOf(pad, shares, spans),
    };
  });
  yield;
  const usual = {
    span: median(spans.map((span) => (span === null ? NaN : Math.abs(span)))),
    noise: median(measured.map(({ noise }) => noise ?? NaN)),
  };
  const pads = measured.map((own): PadCheck => {
    const { pad } = own;
    const span = spans[pad] ?? null;
    const raws = series.raws[pad]!.filter((raw) => !Number.isNaN(raw));
    const opposite = span !== null && (span > 0 ? downs : ups) >= 2 && span > 0 !== ups > downs;
    const seen: Seen = {
      ...own,
      span: span === null ? null : Math.abs(span),
      sigma: rests[pad]?.sigma ?? 0,
      heard: raws.length > 0,
      constant: raws.every((raw) => raw === raws[0]),
      atEnd: [0, full].some(
        (end) => share(raws, (raw) => Math.abs(raw - end) <= full / AT_END) >= NEARLY_ALWAYS,
      ),
      heldFirst: heldFirst.has(pad),
      heldShare: heldShare(raws, unit, pad, own.rest, span),
      against: opposite && Math.max(ups, downs) >= 3 * Math.min(ups, downs),
      joined: joinedWith(pad, shares),
      elsewhere: elsewhere.some((one) => one.pad === pad),
      together: together.has(pad),
    };
    const swapped: Verdict[] = exchanges.some(({ touched }) => touched.includes(pad))
      ? [{ kind: 'swapped', why: null, grade: 'mend' }]
      : [];
    return { ...own, verdicts: [...swapped, ...verdictsOf(seen, usual)] };
  });
  const findings = findingsOf(pads, timing, spare, instrument);
  const fit = pads.filter(isFit).length;
  const check = { pads, timing, spare, exchanges, elsewhere, findings, fit };
  return { check, series, touches };
}

/** Nothing to fix, and known to be so. */
const isFit = ({ verdicts }: PadCheck): boolean =>
  verdicts.every(({ kind, grade }) => grade !== 'mend' && kind !== 'unjudged');

function ghostsOf(
  pad: number,
  shares: readonly (readonly number[])[],
  spans: readonly (number | null)[],
): Ghost[] {
  return spans
    .flatMap((span, from) => {
      const part = shares[from]![pad]!;
      if (from === pad || span === null || Number.isNaN(part)) return [];
      return [{ from, level: Math.abs((part * span) / (spans[pad] ?? span)) }];
    })
    .filter(({ level }) => level >= LEAST_GHOST)
    .sort((a, b) => b.level - a.level);
}

/** Joined pads move alike, whichever of them is touched; one of them may never move further. */
function joinedWith(pad: number, shares: readonly (readonly number[])[]): number | null {
  const other = shares.findIndex((_, from) => {
    if (from === pad) return false;
    const [there, back] = [shares[from]![pad]!, shares[pad]![from]!];
    return (
      (there >= JOINED || back >= JOINED) &&
      (there >= JOINED || Number.isNaN(there)) &&
      (back >= JOINED || Number.isNaN(back))
    );
  });
  return other < 0 ? null : other;
}

function share(raws: Float64Array, is: (raw: number) => boolean): number {
  return raws.length === 0 ? 0 : raws.filter(is).length / raws.length;
}

/** The share of the time in which a pad was at least half touched. */
function heldShare(
  raws: Float64Array,
  { build }: Unit,
  pad: number,
  rest: number | null,
  span: number | null,
): number {
  if (span !== null && rest !== null) return share(raws, (raw) => (raw - rest) / span >= 0.5);
  const known = build?.pads[pad];
  if (!known) return 0;
  return share(raws, (raw) => (raw - known.rest) / known.span >= 0.5);
}
