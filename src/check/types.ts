import type { Micros } from '../time/micros.js';

/**
 * Whether a fault must be fixed before the pad can be relied on, or is only to be watched. `mend` is what
 * `check --json` has said from the beginning.
 */
export type Grade = 'mend' | 'watch';

/**
 * dead: no touch arrives. stuck: at an end of the scale. held: reads as touched most of the time.
 * joined: two pads move as one. swapped: answers in another pad's place. noisy, weak: under 5:1 because
 * of its noise, or of its signal. coupled: a neighbour's touch shows on it. drifting: its rest wanders.
 * unjudged: touched, but only while others were too.
 */
export type VerdictKind =
  | 'dead'
  | 'stuck'
  | 'held'
  | 'joined'
  | 'swapped'
  | 'noisy'
  | 'weak'
  | 'coupled'
  | 'drifting'
  | 'unjudged';

/**
 * What tells causes of one kind apart. dead: unwired (no input in the wiring), unheard (no readings),
 * frozen (one value all the time), elsewhere (an input that nothing is wired to moved in its place),
 * untouched. noisy: hum, jumps, hiss. held: first (only while it should have been let go).
 */
export type Why =
  | 'unwired'
  | 'unheard'
  | 'frozen'
  | 'elsewhere'
  | 'untouched'
  | 'hum'
  | 'jumps'
  | 'hiss'
  | 'first'
  | null;

export interface Verdict {
  readonly kind: VerdictKind;
  readonly why: Why;
  readonly grade: Grade;
}

/** Mains hum on a pad. `hz` is null where 50 and 60 Hz look alike at this scan rate. */
export interface Hum {
  readonly hz: 50 | 60 | null;
  /** Peak to peak, in raw counts. */
  readonly size: number;
  /** Its part of the noise's power, 0 to 1. */
  readonly share: number;
}

/**
 * How far a touch of pad `from` moves this pad, as a share of this pad's own full touch (of the
 * other's where this one was not touched).
 */
export interface Ghost {
  readonly from: number;
  readonly level: number;
}

/** One pad as seen in the take; null where it could not be measured. Values are in raw counts. */
export interface PadCheck {
  readonly pad: number;
  /** Inputs that the wiring says are this pad's. */
  readonly inputs: readonly number[];
  readonly touches: number;
  /** Mean with nobody touching. */
  readonly rest: number | null;
  /** Mean while touched (of the firmest touch). */
  readonly touched: number | null;
  /** Peak to peak at rest: the middle of stretches of NOISE_READINGS readings. */
  readonly noise: number | null;
  /** The same of the worst tenth of the stretches. */
  readonly worstNoise: number | null;
  /** Signal to noise, see `signalToNoise`. */
  readonly ratio: number | null;
  readonly hum: Hum | null;
  /** How far the rest wandered within a minute at most, as a share of a touch. */
  readonly drift: number | null;
  /** Strongest first, from LEAST_GHOST on. */
  readonly ghosts: readonly Ghost[];
  readonly verdicts: readonly Verdict[];
}

/** An input that brings readings although the wiring gives it to no pad. */
export interface SpareInput {
  readonly input: number;
  /** How often it moved as a touched pad does while no wired pad was touched. */
  readonly touches: number;
}

/** How the scans came. */
export interface Timing {
  readonly scans: number;
  readonly length: Micros;
  /** The mean time from scan to scan, pauses left out; null where the wire tells only changes. */
  readonly interval: Micros | null;
  /** Nine of ten intervals are at most this far from that. */
  readonly jitter: Micros | null;
  /** How long the board paused in all: gaps of a second or more. */
  readonly paused: Micros;
  /** How many scans came late: what a wire that numbers nothing shows of lost ones too. */
  readonly late: number;
  /** How many are missing; null where the wire does not number its messages. */
  readonly lost: number | null;
  /** How many gaps the next scan did not make up for, and the longest of them. */
  readonly gaps: number;
  readonly longest: Micros;
}

/** Wires that seem to have changed places: where `touched[i]` was due, `answered[i]` moved. */
export interface Exchange {
  readonly touched: readonly number[];
  readonly answered: readonly number[];
}

/** Pads of one kind of fault, or something about the whole unit (then `pads` is empty). */
export interface Finding {
  readonly kind: VerdictKind | 'lost' | 'late' | 'slow' | 'uneven' | 'spare';
  readonly why: Why;
  readonly grade: Grade;
  readonly pads: readonly number[];
  /** About how many notes of the instrument it spoils: for the order of findings only. */
  readonly harm: number;
}

/** All that a check found. */
export interface Check {
  readonly pads: readonly PadCheck[];
  readonly timing: Timing;
  readonly spare: readonly SpareInput[];
  readonly exchanges: readonly Exchange[];
  /** Where a wire seems to sit on an input that is not its pad's. */
  readonly elsewhere: readonly { readonly pad: number; readonly input: number }[];
  /** What hurts playing most comes first. */
  readonly findings: readonly Finding[];
  /** How many pads have nothing to fix, and could be judged. */
  readonly fit: number;
}
