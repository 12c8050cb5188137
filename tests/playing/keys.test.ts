import { describe, expect, it } from 'vitest';
import type { KeysInstrument, Rules } from '../../src/instrument/types.js';
import { KEY_TABLE } from '../../src/playing/keys-table.js';
import { keys } from '../../src/playing/keys.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';
import { firm, lift, loose, onset, played, reset, strike, touch } from './touching.js';

/** Three keys, C4 E4 G4, whose pads are in another order. */
const ROW: KeysInstrument = {
  name: 'row',
  kind: 'keys',
  sound: 1,
  keys: [
    { note: 60, pad: 2 },
    { note: 64, pad: 0 },
    { note: 67, pad: 1 },
  ],
};
const [C, E, G] = [2, 0, 1];
const RINGING: Rules = { ...PLAIN, keys: { 'ring-on': 300_000 } };

describe('a touch key', () => {
  it('sounds from its strike to its lift', () => {
    expect(played(keys(ROW, PLAIN), touch(C, 0, 500))).toEqual([
      [4, 'on', 60, 'press'],
      [524, 'off', 60],
    ]);
  });

  it('says which key it is, and how hard it was touched', () => {
    const [on] = runStage(keys(ROW, PLAIN), touch(G, 0, 50, 0.5));
    // The straight line of the plain rules: 20 + (127 − 20) · 0.5 = 73.5.
    expect(on).toEqual({
      type: 'on',
      t: 4_000,
      note: 67,
      velocity: 74,
      strength: 0.5,
      string: 2,
      fret: 0,
      how: 'press',
    });
  });

  it('makes chords, each note with an end of its own', () => {
    expect(played(keys(ROW, PLAIN), touch(C, 0, 400), touch(E, 2, 300), touch(G, 1, 500))).toEqual([
      [4, 'on', 60, 'press'],
      [5, 'on', 67, 'press'],
      [6, 'on', 64, 'press'],
      [324, 'off', 64],
      [424, 'off', 60],
      [524, 'off', 67],
    ]);
  });

  it('sounds on through a bounce', () => {
    expect(played(keys(ROW, PLAIN), touch(C, 0, 500), loose(C, 100), firm(C, 110))).toHaveLength(2);
  });

  it('sounds nothing for a flicker that has no strength', () => {
    expect(played(keys(ROW, PLAIN), onset(C, 0), lift(C, 8))).toEqual([]);
  });

  it('begins again where it is touched again while it is held', () => {
    const again = [lift(C, 200), onset(C, 200), strike(C, 204, 200, 1)];
    expect(played(keys(ROW, PLAIN), touch(C, 0, 500), again)).toEqual([
      [4, 'on', 60, 'press'],
      [200, 'off', 60],
      [204, 'on', 60, 'press'],
      [524, 'off', 60],
    ]);
  });

  it('rings on after its lift as long as the rule says, or until it is touched again', () => {
    expect(played(keys(ROW, RINGING), touch(C, 0, 100))).toEqual([
      [4, 'on', 60, 'press'],
      [424, 'off', 60],
    ]);
    expect(played(keys(ROW, RINGING), touch(C, 0, 100), touch(C, 200, 300))).toEqual([
      [4, 'on', 60, 'press'],
      [204, 'off', 60],
      [204, 'on', 60, 'press'],
      [624, 'off', 60],
    ]);
  });

  it('ends by a reset, held or ringing, which is passed on', () => {
    expect(
      played(keys(ROW, RINGING), touch(C, 0, 50), touch(E, 0, 900), reset(200), lift(E, 924)),
    ).toEqual([
      [4, 'on', 60, 'press'],
      [4, 'on', 64, 'press'],
      [200, 'off', 60],
      [200, 'off', 64],
      [200, 'reset'],
    ]);
  });

  it('passes over pads that are no key', () => {
    expect(played(keys(ROW, PLAIN), touch(7, 0, 50))).toEqual([]);
  });
});

describe('the table of a key', () => {
  it('ends what sounds in every state that sounds, and sounds nothing without a strike', () => {
    for (const [state, rows] of Object.entries(KEY_TABLE)) {
      expect(rows.reset).toEqual(
        state === 'silent' ? { to: 'silent', act: 'none' } : { to: 'silent', act: 'end' },
      );
      for (const [signal, { to, act }] of Object.entries(rows)) {
        if (act === 'sound') expect(signal).toBe('strike');
        if (state === 'silent' && signal !== 'strike') expect(to).toBe('silent');
        if (act === 'end') expect(to).toBe('silent');
      }
    }
  });
});
