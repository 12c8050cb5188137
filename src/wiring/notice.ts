import { SECOND, type Micros } from '../time/micros.js';

/** How long a person may still take the last answer back; then what was learned is kept. */
export const GRACE: Micros = 3 * SECOND;

/** How a wiring is to be learned. */
export interface WirePlan {
  /** The pads in the order in which they are asked for. */
  readonly order: readonly number[];
  /** How long the last answer may still be taken back; NEVER: until the key to quit comes. */
  readonly grace: Micros;
  /** Whether a long touch of any input takes the last answer back, or only one of the last input. */
  readonly anyHold: boolean;
  /** Whether a person waits for words. */
  readonly reminders: boolean;
}

/** A pad that was asked for and the input that was touched; null where it was skipped. */
export interface Answer {
  readonly pad: number;
  readonly input: number | null;
}

/** The pad that is asked for now, the how manieth it is, and of how many. */
export interface Asked {
  readonly pad: number;
  readonly number: number;
  readonly of: number;
}

/** Something that a person is to be told; `ask` is the pad to touch after it, if there is one. */
export type WireNotice = { readonly t: Micros; readonly ask: Asked | null } & (
  | { readonly type: 'ask' | 'lost' }
  | { readonly type: 'wired' | 'already'; readonly pad: number; readonly input: number }
  | { readonly type: 'skipped'; readonly pad: number }
  /** The answer that was taken back; null where there was none. */
  | { readonly type: 'back'; readonly answer: Answer | null }
  | { readonly type: 'dropped' | 'spare' | 'stuck'; readonly input: number }
  | { readonly type: 'remind'; readonly touching: number | null }
  | { readonly type: 'unclear'; readonly inputs: readonly [number, number] }
  | WireEnd
);

/** A stretch of time. */
export interface Stretch {
  readonly from: Micros;
  readonly to: Micros;
}

/** The end: with a wiring (kept), or before every pad had its answer (left). */
export interface WireEnd {
  readonly type: 'kept' | 'left';
  readonly answers: readonly Answer[];
  /** When more than one input was out: nothing can be learned of these times. */
  readonly unclear: readonly Stretch[];
  /** The wire sends only what changes, and rests at 0. */
  readonly onlyChanges: boolean;
}
