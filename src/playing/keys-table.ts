/**
 * The life of one key, as a total table: every state meets every signal.
 *
 * silent:  nothing sounds
 * held:    its note sounds under the finger
 * ringing: the finger has left, and the note sounds on for a while
 */
export type KeyState = 'silent' | 'held' | 'ringing';

/**
 * strike: the key was touched, and how hard is known; lift: the finger has left; rest: the same, but
 * the rule lets notes ring on; due: the ringing is over; reset: everything ends.
 */
export type KeySignal = 'strike' | 'lift' | 'rest' | 'due' | 'reset';

/** sound: end what sounds, then a new note; end: the note ends; wait: it ends after a while. */
export type KeyAction = 'none' | 'sound' | 'end' | 'wait';

export interface KeyRow {
  readonly to: KeyState;
  readonly act: KeyAction;
}

const stay = (to: KeyState): KeyRow => ({ to, act: 'none' });
const sound: KeyRow = { to: 'held', act: 'sound' };
const end: KeyRow = { to: 'silent', act: 'end' };

export const KEY_TABLE: Readonly<Record<KeyState, Readonly<Record<KeySignal, KeyRow>>>> = {
  silent: {
    strike: sound,
    lift: stay('silent'),
    rest: stay('silent'),
    due: stay('silent'),
    reset: stay('silent'),
  },
  held: {
    strike: sound,
    lift: end,
    rest: { to: 'ringing', act: 'wait' },
    due: stay('held'),
    reset: end,
  },
  ringing: {
    strike: sound,
    lift: stay('ringing'),
    rest: stay('ringing'),
    due: end,
    reset: end,
  },
};
