import { describe, expect, it } from 'vitest';
import type { Gathered } from '../../src/commands/fit/takes.js';
import { whyOf } from '../../src/commands/fit/words.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Change, Worthwhile } from '../../src/fit/cross.js';
import { WHOLE } from '../../src/fit/blocks.js';
import { planOf, shipped } from '../support/kinds.js';
import { note } from '../score/notes.js';

const { instrument, pads } = planOf(shipped('bass-4x4'));

/** One take of ten notes, each third of them soft. */
const gathered: Gathered = {
  takes: [
    {
      path: 'a.take.jsonl',
      seat: undefined,
      plan: { instrument, pads },
      window: 50_000,
      wanted: Array.from({ length: 10 }, (_, i) =>
        note(500 * i, null, 33, { strength: i % 3 === 0 ? 0.3 : 0.9 }),
      ),
      stretches: [WHOLE],
      brief: null,
    },
  ],
  blocks: [{ take: 0, part: 0, stretch: WHOLE }],
  kind: 'strings',
  start: PLAIN,
  decided: false,
  velocities: false,
  shifts: [null],
};

function why(worth: Partial<Worthwhile>): string {
  const change: Change = {
    key: 'touch.on',
    from: 0.45,
    to: 0.2,
    heldOut: { f: 0.9817, without: 0.7109 },
    worth: {
      fixed: 0,
      broken: 0,
      found: 0,
      lost: 0,
      gone: 0,
      beside: 0,
      sooner: 0,
      rank: null,
      nearer: 0,
      foundNotes: [[]],
      ...worth,
    },
  };
  return whyOf(change, gathered);
}

const HELD_OUT = 'F left out 0.710 without it, 0.981 with it.';

describe('why a key was changed', () => {
  it('is told by the notes that it finds, soft ones as such', () => {
    const soft = why({ found: 4, foundNotes: [[0, 3, 6, 9]] });
    expect(soft).toBe(`4 soft notes are heard that would be missed; ${HELD_OUT}`);
    const any = why({ found: 4, foundNotes: [[0, 1, 2, 4]] });
    expect(any).toBe(`4 notes are heard that would be missed; ${HELD_OUT}`);
  });

  it('counts a note at another pitch once, and tells the price', () => {
    expect(why({ found: 3, gone: 2, lost: 1, foundNotes: [[1, 2, 4]] })).toBe(
      '2 notes are right that would come out wrong, 1 note is heard that would be missed, ' +
        `at the price of 1 missed; ${HELD_OUT}`,
    );
    expect(why({ found: 1, gone: -3 })).toContain('at the price of 3 more that nobody wanted');
  });

  it('tells of time, and of soft and hard', () => {
    expect(why({ sooner: 2.54, rank: -0.031 })).toBe(
      'notes begin 2.5 ms sooner, soft and hard are told apart less well (correlation −0.03); ' +
        HELD_OUT,
    );
    expect(why({})).toBe(`as good as before on all notes; ${HELD_OUT}`);
  });
});
