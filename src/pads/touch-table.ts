/**
 * The life of one pad's touch, as a total table: every state meets every signal.
 *
 * blocked: may not begin until it has been seen at rest (at the start)
 * ended:   the same, since everything ended while it was touched: its lift is still to come
 * rest:    not touched
 * rising:  begun, its strength still being looked at
 * held:    touched
 * loose:   under the lower threshold, but not yet for long enough to count as lifted
 */
export type TouchState = 'blocked' | 'ended' | 'rest' | 'rising' | 'held' | 'loose';

/**
 * above: a level at or over the upper threshold; between: in the hysteresis; below: under the lower;
 * heard: enough was seen (or waited) to tell the strength; faint: the same, but it was a flicker;
 * again: the level jumped up from where it had settled; waited: the time to lift is over;
 * reset: everything ends.
 */
export type TouchSignal =
  'above' | 'between' | 'below' | 'heard' | 'faint' | 'again' | 'waited' | 'reset';

/**
 * begin puts out the onset, tell the strength, loosen and hold that it may be lifting or is not, end
 * the lift; again a lift and an onset at once; drop forgets without a word.
 */
export type TouchAction = 'none' | 'begin' | 'tell' | 'loosen' | 'hold' | 'end' | 'again' | 'drop';

export interface TouchRow {
  readonly to: TouchState;
  readonly act: TouchAction;
}

const stay = (to: TouchState): TouchRow => ({ to, act: 'none' });
const drop: TouchRow = { to: 'ended', act: 'drop' };

export const TOUCH_TABLE: Readonly<Record<TouchState, Readonly<Record<TouchSignal, TouchRow>>>> = {
  blocked: {
    above: stay('blocked'),
    between: stay('blocked'),
    below: stay('rest'),
    heard: stay('blocked'),
    faint: stay('blocked'),
    again: stay('blocked'),
    waited: stay('blocked'),
    reset: stay('blocked'),
  },
  ended: {
    above: stay('ended'),
    between: stay('ended'),
    below: { to: 'rest', act: 'end' },
    heard: stay('ended'),
    faint: stay('ended'),
    again: stay('ended'),
    waited: stay('ended'),
    reset: stay('ended'),
  },
  rest: {
    above: { to: 'rising', act: 'begin' },
    between: stay('rest'),
    below: stay('rest'),
    heard: stay('rest'),
    faint: stay('rest'),
    again: stay('rest'),
    waited: stay('rest'),
    reset: { to: 'blocked', act: 'drop' },
  },
  rising: {
    above: stay('rising'),
    between: stay('rising'),
    below: stay('rising'),
    heard: { to: 'held', act: 'tell' },
    faint: { to: 'rest', act: 'end' },
    again: stay('rising'),
    waited: stay('rising'),
    reset: drop,
  },
  held: {
    above: stay('held'),
    between: stay('held'),
    below: { to: 'loose', act: 'loosen' },
    heard: stay('held'),
    faint: stay('held'),
    again: { to: 'rising', act: 'again' },
    waited: stay('held'),
    reset: drop,
  },
  loose: {
    above: { to: 'held', act: 'hold' },
    between: stay('loose'),
    below: stay('loose'),
    heard: stay('loose'),
    faint: stay('loose'),
    again: stay('loose'),
    waited: { to: 'rest', act: 'end' },
    reset: drop,
  },
};
