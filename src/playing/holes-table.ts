/**
 * The life of a pipe, as a total table: every state meets every signal. "Mouth" is the mouth pad, or
 * whatever fingers are on the holes where there is none.
 *
 * silent:   nobody blows
 * begun:    the mouth is touched, and how hard is not known yet
 * waiting:  it is blown, and sounds as soon as the fingers rest on a fingering of the chart
 * owed:     the same, but the mouth has left already: a short note that is still to come
 * sounding: a note sounds
 * tail:     the mouth has left so soon that its note is heard out
 */
export type PipeState = 'silent' | 'begun' | 'waiting' | 'owed' | 'sounding' | 'tail';

/**
 * begun, told: the mouth is touched, and how hard is known; left: it is not touched any more; early:
 * the same, before its note could be heard; known: the fingers rest on another fingering of the chart
 * than the one that sounds; kept, unknown: on one that it does not have, which lets a note sound on or
 * ends it, by the rule; due: a short note has been heard out; reset: everything ends.
 */
export type PipeSignal =
  'begun' | 'told' | 'left' | 'early' | 'known' | 'kept' | 'unknown' | 'due' | 'reset';

/**
 * sound: a note begins; short: the same, and it ends by itself; slur: the note goes on at another
 * pitch; end: the note ends; wait: it ends by itself.
 */
export type PipeAction = 'none' | 'sound' | 'short' | 'slur' | 'end' | 'wait';

export interface PipeRow {
  readonly to: PipeState;
  readonly act: PipeAction;
}

const go = (to: PipeState): PipeRow => ({ to, act: 'none' });
const end = (to: PipeState): PipeRow => ({ to, act: 'end' });

export const PIPE_TABLE: Readonly<Record<PipeState, Readonly<Record<PipeSignal, PipeRow>>>> = {
  silent: {
    begun: go('begun'),
    told: go('silent'),
    left: go('silent'),
    early: go('silent'),
    known: go('silent'),
    kept: go('silent'),
    unknown: go('silent'),
    due: go('silent'),
    reset: go('silent'),
  },
  begun: {
    begun: go('begun'),
    told: go('waiting'),
    left: go('silent'),
    early: go('silent'),
    known: go('begun'),
    kept: go('begun'),
    unknown: go('begun'),
    due: go('begun'),
    reset: go('silent'),
  },
  waiting: {
    begun: go('begun'),
    told: go('waiting'),
    left: go('silent'),
    early: go('owed'),
    known: { to: 'sounding', act: 'sound' },
    kept: go('waiting'),
    unknown: go('waiting'),
    due: go('waiting'),
    reset: go('silent'),
  },
  owed: {
    begun: go('begun'),
    told: go('owed'),
    left: go('owed'),
    early: go('owed'),
    known: { to: 'tail', act: 'short' },
    kept: go('silent'),
    unknown: go('silent'),
    due: go('owed'),
    reset: go('silent'),
  },
  sounding: {
    begun: end('begun'),
    told: go('sounding'),
    left: end('silent'),
    early: { to: 'tail', act: 'wait' },
    known: { to: 'sounding', act: 'slur' },
    kept: go('sounding'),
    unknown: end('waiting'),
    due: go('sounding'),
    reset: end('silent'),
  },
  tail: {
    begun: end('begun'),
    told: go('tail'),
    left: go('tail'),
    early: go('tail'),
    known: go('tail'),
    kept: go('tail'),
    unknown: go('tail'),
    due: end('silent'),
    reset: end('silent'),
  },
};
