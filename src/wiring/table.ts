/**
 * How a wiring is learned, as a total table: every state meets every signal.
 *
 * watching: nobody may touch; rests are being learned
 * asking:   a pad is asked for, and nothing is touched
 * touched:  a pad is asked for, and an input is touched
 * closing:  every pad has its answer and nothing is touched; for a moment it may be taken back
 * late:     every pad has its answer, and an input is touched
 * kept:     over, with a wiring
 * left:     over, without one
 */
export type WireState = 'watching' | 'asking' | 'touched' | 'closing' | 'late' | 'kept' | 'left';

/**
 * rested: rests are known; pressed: an input is touched; fresh: one without a pad was touched and let
 * go; again: one that has a pad was; hold: a touch lasts so long that it takes back; over: a touch is
 * over that means nothing more; unclear: two inputs were touched at once; stuck: a touch does not end;
 * skip, back, quit: keys; drop: the key that takes back, while an input without a pad is touched;
 * waited: the wait is over; lost: the unit went away.
 */
export type WireSignal =
  | ('rested' | 'pressed' | 'fresh' | 'again' | 'hold' | 'over' | 'unclear' | 'stuck')
  | ('skip' | 'back' | 'drop' | 'quit' | 'waited' | 'lost');

/**
 * ask: tell which pad is next; wire: the input is that pad; skip: that pad has no input; back: the
 * last answer is taken back; drop: the touch that is on shall not count; wait: a wait begins again;
 * remind: tell what to do meanwhile; the others are told by their names; keep and leave end it.
 */
export type WireAction =
  | ('none' | 'ask' | 'wire' | 'skip' | 'back' | 'drop' | 'wait' | 'remind')
  | ('already' | 'spare' | 'unclear' | 'stuck' | 'lost' | 'keep' | 'leave');

/** `next`: asking, touched, closing or late, as the answers and the touch that may be on say. */
export interface WireRow {
  readonly to: WireState | 'next';
  readonly act: WireAction;
}

const stay = (to: WireState): WireRow => ({ to, act: 'none' });
const next = (act: WireAction): WireRow => ({ to: 'next', act });
const keep: WireRow = { to: 'kept', act: 'keep' };
const leave: WireRow = { to: 'left', act: 'leave' };
const lost: WireRow = { to: 'watching', act: 'lost' };

export const WIRE_TABLE: Readonly<Record<WireState, Readonly<Record<WireSignal, WireRow>>>> = {
  watching: {
    rested: next('ask'),
    pressed: stay('watching'),
    fresh: stay('watching'),
    again: stay('watching'),
    hold: stay('watching'),
    over: stay('watching'),
    unclear: stay('watching'),
    stuck: stay('watching'),
    skip: stay('watching'),
    back: { to: 'watching', act: 'back' },
    drop: stay('watching'),
    quit: leave,
    waited: stay('watching'),
    lost,
  },
  asking: {
    rested: stay('asking'),
    pressed: { to: 'touched', act: 'wait' },
    fresh: next('wire'),
    again: next('already'),
    hold: next('back'),
    over: stay('asking'),
    unclear: next('unclear'),
    stuck: next('stuck'),
    skip: next('skip'),
    back: next('back'),
    drop: stay('asking'),
    quit: leave,
    waited: { to: 'asking', act: 'remind' },
    lost,
  },
  touched: {
    rested: stay('touched'),
    pressed: stay('touched'),
    fresh: next('wire'),
    again: next('already'),
    hold: next('back'),
    over: next('ask'),
    unclear: next('unclear'),
    stuck: next('stuck'),
    skip: next('skip'),
    back: next('back'),
    drop: { to: 'touched', act: 'drop' },
    quit: leave,
    waited: { to: 'touched', act: 'remind' },
    lost,
  },
  closing: {
    rested: stay('closing'),
    pressed: { to: 'late', act: 'wait' },
    fresh: next('spare'),
    again: next('already'),
    hold: next('back'),
    over: next('wait'),
    unclear: next('wait'),
    stuck: next('wait'),
    skip: stay('closing'),
    back: next('back'),
    drop: stay('closing'),
    quit: keep,
    waited: keep,
    lost: keep,
  },
  late: {
    rested: stay('late'),
    pressed: stay('late'),
    fresh: next('spare'),
    again: next('already'),
    hold: next('back'),
    over: next('wait'),
    unclear: next('wait'),
    stuck: next('wait'),
    skip: stay('late'),
    back: next('back'),
    drop: { to: 'late', act: 'drop' },
    quit: keep,
    waited: stay('late'),
    lost: keep,
  },
  kept: {
    rested: stay('kept'),
    pressed: stay('kept'),
    fresh: stay('kept'),
    again: stay('kept'),
    hold: stay('kept'),
    over: stay('kept'),
    unclear: stay('kept'),
    stuck: stay('kept'),
    skip: stay('kept'),
    back: stay('kept'),
    drop: stay('kept'),
    quit: stay('kept'),
    waited: stay('kept'),
    lost: stay('kept'),
  },
  left: {
    rested: stay('left'),
    pressed: stay('left'),
    fresh: stay('left'),
    again: stay('left'),
    hold: stay('left'),
    over: stay('left'),
    unclear: stay('left'),
    stuck: stay('left'),
    skip: stay('left'),
    back: stay('left'),
    drop: stay('left'),
    quit: stay('left'),
    waited: stay('left'),
    lost: stay('left'),
  },
};
