/**
 * The life of one string, as a total table: every state meets every signal.
 *
 * silent:  nothing sounds
 * open:    the open string rings
 * stopped: a note sounds at a held fret
 * leaving: its fret has lifted; a slide may still reach the next one
 * poised:  a note sounds, and the next fret waits for the pluck that may follow
 */
export type StringState = 'silent' | 'open' | 'stopped' | 'leaving' | 'poised';

/**
 * pluck: its pluck pad was struck; poise: a fret could carry the note on, but waits for a pluck;
 * hammer, pull, slide: a fret carries the note on, by the rule of that name; late: the fret that a
 * pluck was meant for comes right after it; dropped: the fret that waits has lifted; lifted: the
 * note's fret lifted and nothing carries it on; slipped: the same, but a slide may follow; damped: a
 * rule for damping applies; due: the ring or the wait for a slide is over; reset: everything ends.
 */
export type StringSignal =
  | 'pluck'
  | 'poise'
  | 'hammer'
  | 'pull'
  | 'slide'
  | 'late'
  | 'dropped'
  | 'lifted'
  | 'slipped'
  | 'damped'
  | 'due'
  | 'reset';

/**
 * sound: end what sounds, then a new note; slur: the note goes on at another pitch; end: the note
 * ends; wait: it goes on until a slide comes or the wait is over.
 */
export type StringAction = 'none' | 'sound' | 'slur' | 'end' | 'wait';

/** `fret`: open or stopped, as the fret of the note says. */
export interface StringRow {
  readonly to: StringState | 'fret';
  readonly act: StringAction;
}

const stay = (to: StringState): StringRow => ({ to, act: 'none' });
const sound: StringRow = { to: 'fret', act: 'sound' };
const slur: StringRow = { to: 'fret', act: 'slur' };
const poise: StringRow = { to: 'poised', act: 'none' };
const end: StringRow = { to: 'silent', act: 'end' };

export const STRING_TABLE: Readonly<
  Record<StringState, Readonly<Record<StringSignal, StringRow>>>
> = {
  silent: {
    pluck: sound,
    poise: stay('silent'),
    hammer: stay('silent'),
    pull: stay('silent'),
    slide: stay('silent'),
    late: stay('silent'),
    dropped: stay('silent'),
    lifted: stay('silent'),
    slipped: stay('silent'),
    damped: stay('silent'),
    due: stay('silent'),
    reset: stay('silent'),
  },
  open: {
    pluck: sound,
    poise: poise,
    hammer: slur,
    pull: stay('open'),
    slide: stay('open'),
    late: slur,
    dropped: stay('open'),
    lifted: stay('open'),
    slipped: stay('open'),
    damped: end,
    due: end,
    reset: end,
  },
  stopped: {
    pluck: sound,
    poise: poise,
    hammer: slur,
    pull: slur,
    slide: slur,
    late: slur,
    dropped: stay('stopped'),
    lifted: end,
    slipped: { to: 'leaving', act: 'wait' },
    damped: end,
    due: end,
    reset: end,
  },
  leaving: {
    pluck: sound,
    poise: poise,
    hammer: stay('leaving'),
    pull: stay('leaving'),
    slide: slur,
    late: slur,
    dropped: stay('leaving'),
    lifted: stay('leaving'),
    slipped: stay('leaving'),
    damped: end,
    due: end,
    reset: end,
  },
  poised: {
    pluck: sound,
    poise: stay('poised'),
    hammer: slur,
    pull: slur,
    slide: slur,
    late: slur,
    dropped: { to: 'fret', act: 'none' },
    lifted: end,
    slipped: stay('poised'),
    damped: end,
    due: end,
    reset: end,
  },
};
