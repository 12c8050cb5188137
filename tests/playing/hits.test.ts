import { describe, expect, it } from 'vitest';
import type { HitsInstrument, Rules } from '../../src/instrument/types.js';
import { HIT_TABLE } from '../../src/playing/hits-table.js';
import { hits } from '../../src/playing/hits.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';
import { firm, loose, onset, played, reset, strike, touch } from './touching.js';

const SET: HitsInstrument = {
  name: 'set',
  kind: 'hits',
  sound: 1,
  hits: [
    { drum: 36, pad: 1 },
    { drum: 38, pad: 0 },
  ],
};
const [BASS_DRUM, SNARE] = [1, 0];

const rules = (own: Partial<Rules['hits']>): Rules => ({
  ...PLAIN,
  hits: { ...PLAIN.hits, ...own },
});

describe('a drum pad', () => {
  it('sounds from its strike on for its ring, however short or long the touch is', () => {
    for (const until of [20, 5_000]) {
      expect(played(hits(SET, PLAIN), touch(SNARE, 0, until))).toEqual([
        [4, 'on', 38, 'hit'],
        [404, 'off', 38],
      ]);
    }
  });

  it('says which pad it is, and how hard it was hit', () => {
    const [on] = runStage(hits(SET, PLAIN), touch(SNARE, 0, 50, 1));
    expect(on).toMatchObject({ note: 38, velocity: 127, strength: 1, string: 1, fret: 0 });
  });

  it('ends the sound of the hit before when it is hit again', () => {
    expect(played(hits(SET, PLAIN), touch(SNARE, 0, 40), touch(SNARE, 150, 190))).toEqual([
      [4, 'on', 38, 'hit'],
      [154, 'off', 38],
      [154, 'on', 38, 'hit'],
      [554, 'off', 38],
    ]);
  });

  it('is deaf for the mask after a hit, from onset to onset, and no longer', () => {
    const twice = (gap: number): number =>
      played(
        hits(SET, rules({ mask: 40_000 })),
        [onset(SNARE, 0), strike(SNARE, 12, 0, 1)],
        [onset(SNARE, gap), strike(SNARE, gap + 4, gap, 1)],
      ).filter((event) => (event as unknown[])[1] === 'on').length;
    expect([20, 36, 39].map(twice)).toEqual([1, 1, 1]);
    expect([40, 41, 80].map(twice)).toEqual([2, 2, 2]);
  });

  it('does not let a hit within the mask make the mask longer', () => {
    const hit = (ms: number) => [onset(SNARE, ms), strike(SNARE, ms + 4, ms, 1)];
    expect(
      played(hits(SET, rules({ ring: 10_000 })), hit(0), hit(30), hit(50)).filter(
        (event) => (event as unknown[])[1] === 'on',
      ),
    ).toEqual([
      [4, 'on', 38, 'hit'],
      [54, 'on', 38, 'hit'],
    ]);
  });

  it('is hit again without having been seen to lift, but only by a new onset', () => {
    expect(
      played(
        hits(SET, rules({ ring: 50_000 })),
        [onset(SNARE, 0), strike(SNARE, 4, 0, 1), loose(SNARE, 60), firm(SNARE, 70)],
        [onset(SNARE, 100), strike(SNARE, 104, 100, 1)],
      ),
    ).toEqual([
      [4, 'on', 38, 'hit'],
      [54, 'off', 38],
      [104, 'on', 38, 'hit'],
      [154, 'off', 38],
    ]);
  });

  it('masks itself only', () => {
    expect(
      played(hits(SET, PLAIN), touch(SNARE, 0, 40), touch(BASS_DRUM, 0, 40)).filter(
        (event) => (event as unknown[])[1] === 'on',
      ),
    ).toEqual([
      [4, 'on', 38, 'hit'],
      [4, 'on', 36, 'hit'],
    ]);
  });

  it('ends by a reset, which is passed on and forgets the mask', () => {
    expect(played(hits(SET, PLAIN), touch(SNARE, 0, 10), reset(10), touch(SNARE, 20, 40))).toEqual([
      [4, 'on', 38, 'hit'],
      [10, 'off', 38],
      [10, 'reset'],
      [24, 'on', 38, 'hit'],
      [424, 'off', 38],
    ]);
  });
});

describe('the table of a drum pad', () => {
  it('sounds by a hit only, and ends what sounds by a reset', () => {
    for (const rows of Object.values(HIT_TABLE)) {
      expect(rows.reset.to).toBe('silent');
      for (const [signal, { act }] of Object.entries(rows)) {
        expect(act === 'sound').toBe(signal === 'hit');
      }
    }
    expect(HIT_TABLE.sounding.reset.act).toBe('end');
  });
});
