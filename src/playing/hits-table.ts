/** The life of one drum pad's sound, as a total table: every state meets every signal. */
export type HitState = 'silent' | 'sounding';

/**
 * hit: the pad was touched after its mask, and how hard is known; deaf: the same, but within the mask
 * of the hit before; due: the sound is over; reset: everything ends.
 */
export type HitSignal = 'hit' | 'deaf' | 'due' | 'reset';

/** sound: end what sounds, then a new one; end: the sound ends. */
export type HitAction = 'none' | 'sound' | 'end';

export interface HitRow {
  readonly to: HitState;
  readonly act: HitAction;
}

const stay = (to: HitState): HitRow => ({ to, act: 'none' });
const sound: HitRow = { to: 'sounding', act: 'sound' };
const end: HitRow = { to: 'silent', act: 'end' };

export const HIT_TABLE: Readonly<Record<HitState, Readonly<Record<HitSignal, HitRow>>>> = {
  silent: { hit: sound, deaf: stay('silent'), due: stay('silent'), reset: stay('silent') },
  sounding: { hit: sound, deaf: stay('sounding'), due: end, reset: end },
};
