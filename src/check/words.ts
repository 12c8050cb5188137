import { printedOrder } from '../instrument/instrument-pads.js';
import { padNames } from '../instrument/pad-names.js';
import { pitchName } from '../instrument/pitch.js';
import type { Instrument } from '../instrument/types.js';
import { rateOf } from './findings.js';
import type { Check, Exchange, Finding, Hum, PadCheck, Verdict } from './types.js';
import { DISTURBANCE, MOSTLY_HUM } from './verdicts.js';
import { adviceOf, UNIT_WORDS } from './advice.js';

/** A finding in words. */
export interface Told {
  readonly title: string;
  /** What was seen, with figures. */
  readonly seen: string;
  readonly cause: string;
  readonly next: string;
}

/** Rounded down, so that what is under a line never reads as being on it. */
export function ratioWords(ratio: number | null): string {
  if (ratio === null) return '-';
  const shown = ratio < 10 ? (Math.floor(ratio * 10 + 1e-9) / 10).toFixed(1) : Math.floor(ratio);
  return `${String(shown)}:1`;
}

export function percent(share: number): string {
  return `${String(Math.round(100 * share))} %`;
}

export function counts(value: number): string {
  return String(Math.round(value));
}

function humWords({ hz }: Hum): string {
  return hz === null ? 'mains hum' : `${String(hz)} Hz hum`;
}

/** A verdict in a word or two, for a table. */
export function verdictWords({ kind, why }: Verdict, { hum }: PadCheck): string {
  if (kind === 'noisy' && why === 'hum' && hum) return `noisy (${humWords(hum)})`;
  if (kind === 'noisy' && why === 'jumps') return 'noisy (jumps)';
  return kind;
}

/** What a pad is worth, in a few words: what to fix, else what to watch, else `fit`. */
export function judgement(pad: PadCheck): string {
  const toFix = pad.verdicts.filter(({ grade }) => grade === 'mend');
  const words = (list: readonly Verdict[]): string =>
    list.map((verdict) => verdictWords(verdict, pad)).join(', ');
  if (toFix.length > 0) return words(toFix);
  if (pad.verdicts.some(({ kind }) => kind === 'unjudged')) return 'touched, not judged';
  return pad.verdicts.length > 0 ? `fit; watch: ${words(pad.verdicts)}` : 'fit';
}

type UnitKind = keyof typeof UNIT_WORDS;

const isUnitKind = (kind: Finding['kind']): kind is UnitKind => kind in UNIT_WORDS;

/** Says what was found, why it may be so, and what to do. */
export function tellFinding(finding: Finding, check: Check, names: readonly string[]): Told {
  const { kind, why, grade } = finding;
  if (isUnitKind(kind)) {
    return { ...UNIT_WORDS[kind], seen: unitSeen(kind, check) };
  }
  const advice = adviceOf(kind, why);
  const list = finding.pads.map((pad) => check.pads[pad]!);
  return {
    title: grade === 'watch' && kind !== 'unjudged' ? `${advice.title}, to watch` : advice.title,
    seen: `${advice.seen} ${seenOn(list, finding, check, names)}.`,
    cause: advice.cause,
    next: advice.next,
  };
}

function seenOn(
  pads: readonly PadCheck[],
  { kind, why }: Finding,
  check: Check,
  names: readonly string[],
): string {
  const name = (pad: number): string => names[pad] ?? `pad ${String(pad)}`;
  if (kind === 'swapped') return check.exchanges.map((one) => exchangeWords(one, name)).join('; ');
  if (kind === 'joined') return pads.map(({ pad }) => name(pad)).join(', ');
  return pads
    .map((pad) => {
      const figure = figureOf(pad, kind, why, check, name);
      return figure === '' ? name(pad.pad) : `${name(pad.pad)} (${figure})`;
    })
    .join(', ');
}

function exchangeWords({ touched, answered }: Exchange, name: (pad: number) => string): string {
  const [a, b] = touched;
  if (touched.length === 2) return `${name(a!)} and ${name(b!)} answered for each other`;
  return touched.map((pad, i) => `${name(answered[i]!)} answered for ${name(pad)}`).join(', ');
}

/** The figure that a verdict rests on. */
function figureOf(
  pad: PadCheck,
  kind: Finding['kind'],
  why: Finding['why'],
  check: Check,
  name: (pad: number) => string,
): string {
  const { rest, touched, noise, worstNoise, ratio, hum, drift, ghosts, inputs } = pad;
  const on = inputs.length > 0 ? `input ${inputs.join(' and ')}` : '';
  switch (kind) {
    case 'dead':
      if (why === 'elsewhere') {
        const at = check.elsewhere.find((one) => one.pad === pad.pad)?.input;
        return `input ${String(at)} moved in its turn, not ${on}`;
      }
      if (why === 'frozen') return `${on}, always ${counts(rest ?? 0)}`;
      return on;
    case 'stuck':
      return `${on}, ${counts(rest ?? 0)}`;
    case 'noisy': {
      const line = ratio === null ? 'no touch stands out' : ratioWords(ratio);
      if (why === 'jumps') return `${line}, jumps of ${counts(worstNoise ?? 0)} counts`;
      const of = `${counts(noise ?? 0)} counts of noise`;
      return why === 'hum' && hum
        ? `${line}, ${of}, ${percent(hum.share)} of its power ${humWords(hum)}`
        : `${line}, ${of}`;
    }
    case 'weak': {
      const change = counts(Math.abs((touched ?? 0) - (rest ?? 0)));
      const mostly = hum && hum.share >= MOSTLY_HUM ? `, mostly ${humWords(hum)}` : '';
      return `${ratioWords(ratio)}, ${change} over ${counts(noise ?? 0)} counts${mostly}`;
    }
    case 'coupled':
      return ghosts
        .filter(({ level }) => level >= DISTURBANCE)
        .slice(0, 3)
        .map(({ from, level }) => `${percent(level)} from ${name(from)}`)
        .join(', ');
    case 'drifting':
      return percent(drift ?? 0);
    default:
      return '';
  }
}

function unitSeen(kind: UnitKind, check: Check): string {
  const { scans, late, gaps, longest, jitter } = check.timing;
  const lost = check.timing.lost ?? 0;
  const rate = rateOf(check.timing) ?? 0;
  switch (kind) {
    case 'lost':
      return (
        `${String(lost)} of ${String(lost + scans)} scans (${(100 * (lost / (lost + scans))).toFixed(1)} %) ` +
        `did not arrive, in ${String(gaps)} gaps of up to ${milliseconds(longest)}.`
      );
    case 'late':
      return (
        `${String(late)} of ${String(scans)} scans came late. ${String(gaps)} of the gaps before them, of up to ` +
        `${milliseconds(longest)}, may hide a lost scan.`
      );
    case 'slow':
      return `The board scans only ${rate.toFixed(0)} times a second: a touch is seen up to ${(1000 / rate).toFixed(0)} ms late.`;
    case 'uneven':
      return `Scans come unevenly: one in ten is more than ${milliseconds(jitter ?? 0)} early or late.`;
    case 'spare':
      return `${spareWords(check)}.`;
  }
}

function spareWords({ spare }: Check): string {
  const list = spare.map(({ input, touches }) =>
    touches > 0
      ? `${String(input)} (which moved ${String(touches)} times as if touched)`
      : String(input),
  );
  return list.length === 1
    ? `Input ${list[0]!} brings readings, but no pad is wired to it`
    : `Inputs ${list.join(', ')} bring readings, but no pad is wired to them`;
}

export function milliseconds(micros: number): string {
  const ms = micros / 1000;
  return `${ms < 20 ? ms.toFixed(1) : ms.toFixed(0)} ms`;
}

/** How the scans came, in one sentence. */
export function timingWords({ timing }: Check): string {
  const { scans, length, interval, jitter, paused, late, lost } = timing;
  const seconds = `${(length / 1e6).toFixed(1)} s`;
  const rate = rateOf(timing);
  if (rate === null || interval === null) {
    return `${String(scans)} messages in ${seconds}; the board tells only changes, so its rate is not known`;
  }
  const pause = paused > 0 ? `, ${(paused / 1e6).toFixed(1)} s of pauses left out` : '';
  const missing = lost === null ? '' : `, ${String(lost)} lost`;
  return (
    `${String(scans)} scans in ${seconds}: ${rate.toFixed(0)} a second${pause}, ` +
    `${milliseconds(interval)} apart ± ${milliseconds(jitter ?? 0)} (nine of ten), ${String(late)} late${missing}`
  );
}

/** The whole check in one line. */
export function summaryLine({ fit, pads, findings }: Check, names: readonly string[]): string {
  const line = `${String(fit)} of ${String(pads.length)} pads are fit`;
  const first = findings.find(({ grade }) => grade === 'mend');
  if (!first) {
    return findings.length === 0 ? `${line}; nothing to fix.` : `${line}; nothing must be fixed.`;
  }
  const { kind, why, grade } = first;
  if (isUnitKind(kind)) {
    return `${line}. Fix first: ${UNIT_WORDS[kind].title.toLowerCase()}.`;
  }
  const [pad = 0, ...rest] = first.pads;
  const words = verdictWords({ kind, why, grade }, pads[pad]!);
  const others = rest.length > 0 ? ` and ${String(rest.length)} more` : '';
  return `${line}. Fix first: ${names[pad] ?? String(pad)}${others} (${words}).`;
}

/** The printed order in which pads are best touched, as an example. */
export function orderWords(instrument: Instrument): string {
  const names = padNames(instrument);
  const order = printedOrder(instrument).map((pad) => names[pad] ?? '');
  if (instrument.kind === 'strings') {
    const [first] = instrument.strings;
    if (!first) return '';
    const string = pitchName(first.open);
    return `${string} fret 1 to ${String(first.frets.length)}, ${string} pluck, then the next string`;
  }
  return `${order.slice(0, 3).join(', ')}, and so on to ${order.at(-1) ?? ''}`;
}
