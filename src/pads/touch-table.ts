/**
 * The life of one pad's touch, as a total table: every state meets every signal.
 *
 * blocked: may not begin until it has been seen at rest (at the start, and after everything ended)
 * rest:    not touched
 * rising:  begun, its strength still being looked at
 * held:    touched
 * loose:   under the lower threshold, but not yet for long enough to count as lifted
 */
export type TouchState = 'blocked' | 'rest' | 'rising' | 'held' | 'loose';

/**
 * above: a level at or over the upper threshold; between: in the hysteresis; below: under the lower;
 * heard: enough was seen (or waited) to tell the strength; waited: the time to lift is over;
 * reset: everything ends.
 */
export type TouchSignal = 'above' | 'between' | 'below' | 'heard' | 'waited' | 'reset';

/** begin puts out the onset, tell the strength, end the lift; loosen starts the wait for it. */
export type TouchAction = 'none' | 'begin' | 'tell' | 'loosen' | 'hold' | 'end' | 'drop';

export interface TouchRow {
  readonly to: TouchState;
  readonly act: TouchAction;
}

const stay = (to: TouchState): TouchRow => ({ to, act: 'none' });

export const TOUCH_TABLE: Readonly<Record<TouchState, Readonly<Record<TouchSignal, TouchRow>>>> = {
  blocked: {
    above: stay('blocked'),
    between: stay('blocked'),
    below: stay('rest'),
    heard: stay('blocked'),
    waited: stay('blocked'),
    reset: stay('blocked'),
  },
  rest: {
    above: { to: 'rising', act: 'begin' },
    between: stay('rest'),
    below: stay('rest'),
    heard: stay('rest'),
    waited: stay('rest'),
    reset: { to: 'blocked', act: 'drop' },
  },
  rising: {
    above: stay('rising'),
    between: stay('rising'),
    below: stay('rising'),
    heard: { to: 'held', act: 'tell' },
    waited: stay('rising'),
    reset: { to: 'blocked', act: 'drop' },
  },
  held: {
    above: stay('held'),
    between: stay('held'),
    below: { to: 'loose', act: 'loosen' },
    heard: stay('held'),
    waited: stay('held'),
    reset: { to: 'blocked', act: 'drop' },
  },
  loose: {
    above: { to: 'held', act: 'hold' },
    between: { to: 'held', act: 'hold' },
    below: stay('loose'),
    heard: stay('loose'),
    waited: { to: 'rest', act: 'end' },
    reset: { to: 'blocked', act: 'drop' },
  },
};
