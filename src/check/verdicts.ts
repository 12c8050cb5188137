import { FIT_RATIO } from '../calibration/calibrate.js';
import type { Ghost, Hum, Verdict, Why } from './types.js';

/**
 * One line for all that is not a touch: nothing else may move a pad by more than a fifth of what a
 * touch does. That is the published 5:1 for noise (Cypress 001-64846 §2.4.1), and a neighbour's touch
 * and a wandering rest are to be held against a touch in the same way.
 */
export const DISTURBANCE = 1 / FIT_RATIO;

/**
 * A neighbour that shows this much can make a pad sound: a touch begins at half of a full one (the
 * rules' `touch.on`), and a pad at the 5:1 line adds a fifth by its own noise.
 */
const SOUNDS = 0.5 - DISTURBANCE;

/** A rest that wandered this far is at the level where a touch begins. */
const DRIFTED_ON = 0.5;

/** Two pads of which each moves with the other at least this far are one to the board. */
export const JOINED = 0.7;

/** Noise this many times the unit's middle one stands out, and matters up to twice the line. */
const LOUD = 3;
const NEAR_LINE = 2 * FIT_RATIO;

/**
 * Noise this many standard deviations wide comes in jumps: hum is 2.8 wide, and normal noise 5 to 6 in
 * 100 readings (memory).
 */
const JUMPY = 10;
/** The least standard deviation that whole counts can show. */
const LEAST_SIGMA = 0.5;
/** Hum is the cause where at least this share of the noise's power is hum. */
export const MOSTLY_HUM = 0.5;

/** An input is at an end, or touched, nearly all the time. */
export const NEARLY_ALWAYS = 0.9;
/** Pads are touched in turn: one that is touched this share of the time is not let go. */
const TOO_LONG = 0.3;

/** What is known of one pad before it is judged; see PadCheck. */
export interface Seen {
  readonly inputs: readonly number[];
  /** No reading ever came, all were alike, or nearly all were at an end of the scale. */
  readonly heard: boolean;
  readonly constant: boolean;
  readonly atEnd: boolean;
  readonly touches: number;
  /** The share of the time it read as touched: by the build where it gave no touch. */
  readonly heldShare: number;
  /** Something lay on it while it should have been let go. */
  readonly heldFirst: boolean;
  /** Its touches go the other way than those of nearly all other pads. */
  readonly against: boolean;
  /** A pad that it moves as one with. */
  readonly joined: number | null;
  readonly elsewhere: boolean;
  /** It was touched while others were, if never alone. */
  readonly together: boolean;
  readonly span: number | null;
  readonly noise: number | null;
  readonly worstNoise: number | null;
  /** Standard deviation at rest, without jumps. */
  readonly sigma: number;
  readonly ratio: number | null;
  readonly hum: Hum | null;
  readonly drift: number | null;
  readonly ghosts: readonly Ghost[];
}

/** The middle pad of the unit, that others are held against. */
export interface Usual {
  readonly span: number;
  readonly noise: number;
}

/** All that is wrong with a pad, the worst first; empty where nothing is. */
export function verdictsOf(seen: Seen, usual: Usual): Verdict[] {
  const broken = brokenOf(seen, usual);
  if (broken) return [broken];
  return [
    ...signalVerdicts(seen, usual),
    ...coupledVerdicts(seen.ghosts),
    ...driftVerdicts(seen),
    ...heldFirstVerdicts(seen),
  ];
}

function toFix(kind: Verdict['kind'], why: Why = null): Verdict {
  return { kind, why, grade: 'mend' };
}

/** A pad that cannot be played at all, whatever its figures. */
function brokenOf(seen: Seen, usual: Usual): Verdict | null {
  if (seen.inputs.length === 0) return toFix('dead', 'unwired');
  if (seen.joined !== null) return toFix('joined');
  if (seen.touches > 0) {
    return seen.against || seen.heldShare >= TOO_LONG ? toFix('held') : null;
  }
  if (seen.elsewhere) return toFix('dead', 'elsewhere');
  if (!seen.heard) return toFix('dead', 'unheard');
  if (seen.atEnd) return toFix('stuck');
  if (seen.constant) return toFix('dead', 'frozen');
  if (seen.heldShare >= NEARLY_ALWAYS) return toFix('held');
  // Noise half as wide as others' touches would hide one.
  if ((seen.noise ?? 0) >= usual.span / 2) return toFix('noisy', noiseKind(seen));
  if (seen.together) return { kind: 'unjudged', why: null, grade: 'watch' };
  return toFix('dead', 'untouched');
}

function jumps({ worstNoise, sigma }: Seen): boolean {
  return (worstNoise ?? 0) >= JUMPY * Math.max(LEAST_SIGMA, sigma);
}

function noiseKind(seen: Seen): Why {
  if (seen.hum && seen.hum.share >= MOSTLY_HUM) return 'hum';
  return jumps(seen) ? 'jumps' : 'hiss';
}

function signalVerdicts(seen: Seen, usual: Usual): Verdict[] {
  const { ratio, noise, worstNoise, span } = seen;
  if (ratio === null || noise === null || span === null || worstNoise === null) return [];
  if (ratio < FIT_RATIO) {
    // Whichever is further from the unit's middle pad is to blame.
    const tooSmall = usual.span / span;
    const tooLoud = Math.max(1, noise) / Math.max(1, usual.noise);
    return [tooLoud > tooSmall ? toFix('noisy', noiseKind(seen)) : toFix('weak')];
  }
  if (jumps(seen) && worstNoise >= DISTURBANCE * span) {
    const grade = worstNoise >= span / 2 ? 'mend' : 'watch';
    return [{ kind: 'noisy', why: 'jumps', grade }];
  }
  if (noise >= LOUD * Math.max(1, usual.noise) && ratio < NEAR_LINE) {
    return [{ kind: 'noisy', why: noiseKind(seen), grade: 'watch' }];
  }
  return [];
}

function coupledVerdicts([strongest]: readonly Ghost[]): Verdict[] {
  if (!strongest || strongest.level < DISTURBANCE) return [];
  return [{ kind: 'coupled', why: null, grade: strongest.level >= SOUNDS ? 'mend' : 'watch' }];
}

function driftVerdicts({ drift, span, noise }: Seen): Verdict[] {
  if (drift === null || span === null || drift < DISTURBANCE) return [];
  // Of a very weak pad, what the means of its noise wander is no drift.
  if (drift * span < (noise ?? 0) / 2) return [];
  return [{ kind: 'drifting', why: null, grade: drift >= DRIFTED_ON ? 'mend' : 'watch' }];
}

function heldFirstVerdicts({ heldFirst }: Seen): Verdict[] {
  return heldFirst ? [{ kind: 'held', why: 'first', grade: 'watch' }] : [];
}
