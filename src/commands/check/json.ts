import { rateOf } from '../../check/findings.js';
import type { Check, PadCheck } from '../../check/types.js';
import { FIT_RATIO } from '../../calibration/calibrate.js';
import { summaryLine, tellFinding } from '../../check/words.js';

/** What was checked, for the head of a report. */
export interface Subject {
  /** The seat, or the take's path. */
  readonly unit: string;
  /** The instrument's name. */
  readonly instrument: string;
}

/**
 * The report as one object, version 1 of its shape. Raw values are in counts, times in microseconds,
 * shares from 0 to 1, pads and inputs counted from 0; what could not be measured is null. `lost` is null
 * where the wire does not number its messages: then a lost scan shows as a late one.
 *
 *     { check: 1, unit, instrument,
 *       line: 5,                      // the least signal to noise of a fit pad
 *       fit, of,                      // how many pads have nothing to fix, of how many
 *       scans: { count, length, rate, interval, jitter, paused, late, lost, gaps, longest },
 *       pads: [{ pad, name, inputs, touches, rest, touched, noise, worstNoise, ratio,
 *                hum: { hz, size, share } | null, drift,
 *                neighbours: [{ pad, level }],       // strongest first, shares of a full touch
 *                verdicts: [{ kind, why, grade }] }],
 *       spareInputs: [{ input, touches }],
 *       swapped: [{ touched: [pad…], answered: [pad…] }],
 *       elsewhere: [{ pad, input }],
 *       findings: [{ kind, why, grade, pads, title, seen, cause, next }],  // worst first
 *       summary }
 *
 * Kinds, `why` and `grade` are those of src/check/types.ts.
 */
export function checkJson(check: Check, names: readonly string[], subject: Subject): unknown {
  const { scans, length, interval, jitter, paused, late, lost, gaps, longest } = check.timing;
  const rate = rateOf(check.timing);
  return {
    check: 1,
    ...subject,
    line: FIT_RATIO,
    fit: check.fit,
    of: check.pads.length,
    scans: {
      count: scans,
      length,
      rate: rounded(rate, 1),
      interval: rounded(interval, 1),
      jitter: rounded(jitter, 1),
      paused,
      late,
      lost,
      gaps,
      longest,
    },
    pads: check.pads.map((pad) => padJson(pad, names)),
    spareInputs: check.spare,
    swapped: check.exchanges,
    elsewhere: check.elsewhere,
    findings: check.findings.map((finding) => {
      const { kind, why, grade, pads } = finding;
      return { kind, why, grade, pads, ...tellFinding(finding, check, names) };
    }),
    summary: summaryLine(check, names),
  };
}

function padJson(check: PadCheck, names: readonly string[]): unknown {
  const { pad, inputs, touches, rest, touched, noise, worstNoise, ratio, hum, drift } = check;
  return {
    pad,
    name: names[pad] ?? null,
    inputs,
    touches,
    rest: rounded(rest, 1),
    touched: rounded(touched, 1),
    noise: rounded(noise, 1),
    worstNoise: rounded(worstNoise, 1),
    ratio: rounded(ratio, 2),
    hum: hum && { hz: hum.hz, size: rounded(hum.size, 1), share: rounded(hum.share, 2) },
    drift: rounded(drift, 3),
    neighbours: check.ghosts.map(({ from, level }) => ({ pad: from, level: rounded(level, 3) })),
    verdicts: check.verdicts,
  };
}

function rounded(value: number | null, digits: number): number | null {
  return value === null ? null : Number(value.toFixed(digits));
}
