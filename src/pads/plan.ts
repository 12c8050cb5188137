import type { Build, PadBuild } from '../instrument/types.js';

/** What the pad stages know of one unit before its first reading. */
export interface PadsPlan {
  /** How many pads the instrument has. */
  readonly pads: number;
  /** Null: the unit is calibrated as it starts. */
  readonly build: Build | null;
  /** Without a build, which pad each input is; left out: input n is pad n. */
  readonly wiring?: Build['wiring'] | undefined;
  /** The raw value of the wire's full scale. */
  readonly full: number;
  /**
   * True where the board decides itself what is a touch and reports 0 for an untouched pad (notes):
   * then any reading above 0 is a touch, and nothing has to be learned.
   */
  readonly decided: boolean;
  /** True where each message carries the board's own number and time: lost ones are known then. */
  readonly numbered?: boolean;
}

/** A board that decides touches itself, seen as a calibration: 0 at rest, full scale at the hardest. */
export function decidedPad(full: number): PadBuild {
  return { rest: 0, span: full, noise: 0, coupling: [] };
}

/** Which pad each input is. */
export function wiringOf(plan: PadsPlan): readonly (number | null)[] {
  return plan.build?.wiring ?? plan.wiring ?? Array.from({ length: plan.pads }, (_, pad) => pad);
}

/** Peak to peak over standard deviation in about a hundred readings of normal noise. Memory. */
export const PEAK_TO_SIGMA = 5;

/** The same where hum may be part of it: a sine is 2.8 standard deviations from peak to peak. */
const PEAK_TO_SIGMA_WITH_HUM = 3.5;

/** The standard deviation to start with for a pad whose noise, hum included, is so wide. */
export function firstSigma(peakToPeak: number): number {
  return peakToPeak / PEAK_TO_SIGMA_WITH_HUM;
}

/** 7-bit wires often send only what changes: a pad that was never heard of rests at 0 there. */
export const SPARSE_FULL = 127;
