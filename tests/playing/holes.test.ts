import { describe, expect, it } from 'vitest';
import type { HolesInstrument, Rules } from '../../src/instrument/types.js';
import { PIPE_TABLE } from '../../src/playing/holes-table.js';
import { holes } from '../../src/playing/holes.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';
import { firm, lift, loose, onset, played, reset, strike, touch } from './touching.js';

const fingering = (note: number, row: string) => ({
  note,
  holes: Array.from(row, (letter) =>
    letter === 'x' ? ('closed' as const) : letter === 'o' ? ('open' as const) : ('either' as const),
  ),
});

/** Three holes on pads 0 to 2 and a mouth on pad 3; `oxo` and `oox` are in no row. */
const PIPE: HolesInstrument = {
  name: 'pipe',
  kind: 'holes',
  sound: 75,
  holes: [0, 1, 2],
  mouth: 3,
  fingerings: [
    fingering(72, 'xxx'),
    fingering(74, 'xxo'),
    fingering(76, 'xo.'),
    fingering(79, 'ooo'),
  ],
};
const MOUTH = 3;
const FINGERED: HolesInstrument = { ...PIPE, mouth: null, fingerings: PIPE.fingerings.slice(0, 3) };

const rules = (own: Partial<Rules['holes']>): Rules => ({
  ...PLAIN,
  holes: { ...PLAIN.holes, settle: 45_000, ...own },
});
const pipe = (own: Partial<Rules['holes']> = {}, instrument = PIPE) =>
  holes(instrument, rules(own));
const AT_ONCE = { 'mouth-waits': false };
/** Holes that are closed long before anything else happens. */
const held = (...pads: number[]) => pads.map((pad) => touch(pad, -1_000, 9_000)).flat();

describe('a pipe with a mouth', () => {
  it('sounds what is fingered, the settling time after the mouth is touched, until the mouth lifts', () => {
    expect(played(pipe(), held(0, 1), touch(MOUTH, 0, 600))).toEqual([
      [45, 'on', 74, 'blow'],
      [624, 'off', 74],
    ]);
  });

  it('sounds at once where the rule says that the mouth does not wait', () => {
    expect(played(pipe(AT_ONCE), held(0, 1), touch(MOUTH, 0, 600))).toEqual([
      [4, 'on', 74, 'blow'],
      [624, 'off', 74],
    ]);
  });

  it('sounds with all holes open from the very beginning, where the chart has that', () => {
    expect(played(pipe(AT_ONCE), touch(MOUTH, 0, 100))[0]).toEqual([4, 'on', 79, 'blow']);
  });

  it('takes the velocity from the mouth, and keeps it through slurs', () => {
    const ons = runStage(
      pipe(),
      [...held(0), ...touch(MOUTH, 0, 600, 0.5), ...touch(1, 200, 500, 1)].sort(
        (a, b) => a.t - b.t,
      ),
    ).filter((event) => event.type === 'on');
    // 20 + (127 − 20) · 0.5 = 73.5.
    expect(ons.map(({ note, velocity, strength }) => [note, velocity, strength])).toEqual([
      [76, 74, 0.5],
      [74, 74, 0.5],
      [76, 74, 0.5],
    ]);
  });

  it('counts a finger that leaves from when it lets go, not from when that is certain', () => {
    expect(played(pipe(), held(0), touch(1, -900, 300), touch(MOUTH, 0, 600))).toEqual([
      [45, 'on', 74, 'blow'],
      [345, 'slur', 74],
      [345, 'on', 76, 'finger'],
      [624, 'off', 76],
    ]);
  });

  it('never sounds a fingering that is met half-way', () => {
    // From xxx to ooo, finger by finger, each 40 ms after the one before.
    expect(
      played(
        pipe(),
        touch(0, -900, 380),
        touch(1, -900, 340),
        touch(2, -900, 300),
        touch(MOUTH, 0, 600),
      ),
    ).toEqual([
      [45, 'on', 72, 'blow'],
      [425, 'slur', 72],
      [425, 'on', 79, 'finger'],
      [624, 'off', 79],
    ]);
  });

  it('takes fingers that come after the mouth, or sounds before them where the rule says so', () => {
    const late = [...held(0), ...touch(1, 40, 900), touch(MOUTH, 0, 600)].flat();
    expect(played(pipe(), late)[0]).toEqual([85, 'on', 74, 'blow']);
    expect(played(pipe(AT_ONCE), late).slice(0, 3)).toEqual([
      [4, 'on', 76, 'blow'],
      [85, 'slur', 76],
      [85, 'on', 74, 'finger'],
    ]);
  });

  it('waits for fingers that are just moving also where the mouth does not wait', () => {
    expect(played(pipe(AT_ONCE), held(0), touch(1, -20, 900), touch(MOUTH, 0, 600))[0]).toEqual([
      25,
      'on',
      74,
      'blow',
    ]);
  });

  it('takes a bounce of a finger for no change, and does not look while it may be leaving', () => {
    const bounce = [loose(1, 300), firm(1, 312)];
    expect(
      played(pipe(), held(0, 1), touch(MOUTH, 0, 600), bounce).filter(
        (event) => (event as unknown[])[1] !== 'off',
      ),
    ).toEqual([[45, 'on', 74, 'blow']]);
    // Hole 2 closes at 300 and hole 1 is loose from 320 to 360: nobody knows yet which note that is.
    const undecided = [...touch(2, 300, 900), loose(1, 320), firm(1, 360)];
    expect(played(pipe(), held(0, 1), touch(MOUTH, 0, 600), undecided)[2]).toEqual([
      360,
      'on',
      72,
      'finger',
    ]);
  });

  it('looks at all that happened at one time together, however short the settling is', () => {
    for (const settle of [0, 1_000, 24_000]) {
      // Both lifts are told at once, and each alone would be another note.
      const both = [...touch(2, -900, 300), ...touch(1, -900, 300)];
      expect(
        played(pipe({ settle }), held(0), both, touch(MOUTH, 0, 600)).map(
          (e) => (e as unknown[])[2],
        ),
      ).toEqual([72, 72, 76, 76]);
    }
  });

  it('keeps or ends its note on a fingering that the chart does not have, by the rule', () => {
    // From xxo to oxo, which is in no row, and back.
    const away = [...touch(0, -900, 300), ...touch(0, 500, 900), ...held(1)];
    expect(played(pipe(), away, touch(MOUTH, 0, 800))).toEqual([
      [45, 'on', 74, 'blow'],
      [824, 'off', 74],
    ]);
    expect(played(pipe({ unknown: 'end' }), away, touch(MOUTH, 0, 800))).toEqual([
      [45, 'on', 74, 'blow'],
      [345, 'off', 74],
      [545, 'on', 74, 'blow'],
      [824, 'off', 74],
    ]);
  });

  it('begins nothing on such a fingering, but sounds once the fingers find one that is there', () => {
    for (const unknown of ['keep', 'end'] as const) {
      expect(played(pipe({ unknown }), held(1), touch(MOUTH, 0, 600))).toEqual([]);
      expect(
        played(pipe({ unknown }), held(1), touch(0, 300, 900), touch(MOUTH, 0, 600))[0],
      ).toEqual([345, 'on', 74, 'blow']);
    }
  });

  it('takes the first row that fits', () => {
    const either: HolesInstrument = {
      ...PIPE,
      fingerings: [fingering(60, 'x.o'), fingering(61, 'x..')],
    };
    const first = (...pads: number[]) =>
      (played(pipe({}, either), held(...pads), touch(MOUTH, 0, 100))[0] as unknown[])[2];
    expect([first(0), first(0, 1), first(0, 2), first(0, 1, 2)]).toEqual([60, 60, 61, 61]);
  });

  it('sounds each touch of the mouth again', () => {
    expect(
      played(pipe(), held(0), touch(MOUTH, 0, 200), touch(MOUTH, 300, 500)).map(
        (event) => (event as unknown[])[1],
      ),
    ).toEqual(['on', 'off', 'on', 'off']);
  });

  it('ends at the lift of the mouth also where a slur came right before', () => {
    // The second note begins at 545, the mouth lets go at 550.
    expect(played(pipe(), held(0), touch(1, 500, 900), touch(MOUTH, 0, 550))).toEqual([
      [45, 'on', 76, 'blow'],
      [545, 'slur', 76],
      [545, 'on', 74, 'finger'],
      [574, 'off', 74],
    ]);
  });

  it('sounds no other note while the mouth may be leaving', () => {
    // The fingers have come to rest at 545, the mouth lets go at 540.
    expect(played(pipe(), held(0), touch(1, 500, 900), touch(MOUTH, 0, 540))).toEqual([
      [45, 'on', 76, 'blow'],
      [564, 'off', 76],
    ]);
  });

  it('hears a short touch of the mouth out, though it is over before its note begins', () => {
    // Touched for 20 ms, and certainly lifted at 44 ms: the note sounds as long, later.
    expect(played(pipe(), held(0), touch(MOUTH, 0, 20))).toEqual([
      [45, 'on', 76, 'blow'],
      [65, 'off', 76],
    ]);
    expect(played(pipe(), held(0), touch(MOUTH, 0, 40))).toEqual([
      [45, 'on', 76, 'blow'],
      [85, 'off', 76],
    ]);
    // What the fingers do long after it was not meant for it.
    expect(
      played(pipe(), held(0), touch(1, 30, 900), touch(2, 60, 900), touch(MOUTH, 0, 20)),
    ).toEqual([]);
    // Nor is anything owed where the fingering that it met is in no row.
    expect(played(pipe(), held(1), touch(MOUTH, 0, 20), touch(0, 200, 900))).toEqual([]);
  });

  it('sounds nothing for a flicker of the mouth, nor by fingers alone', () => {
    expect(played(pipe(), held(0), onset(MOUTH, 0), lift(MOUTH, 8), touch(1, 100, 300))).toEqual(
      [],
    );
  });

  it('ends by a reset, which is passed on, and the mouth must be touched again', () => {
    expect(
      played(pipe(), held(0), touch(MOUTH, 0, 600), reset(300), touch(MOUTH, 700, 900)),
    ).toEqual([
      [45, 'on', 76, 'blow'],
      [300, 'off', 76],
      [300, 'reset'],
      // The finger is still there.
      [745, 'on', 76, 'blow'],
      [924, 'off', 76],
    ]);
    const lifted = [...touch(0, -900, 300), ...touch(MOUTH, 700, 900)];
    expect(played(pipe(), lifted, reset(200)).slice(1)).toEqual([
      [745, 'on', 79, 'blow'],
      [924, 'off', 79],
    ]);
    // Nothing is known of the fingers on a unit that went away.
    expect(played(pipe(), held(0), touch(MOUTH, 700, 900), reset(200, 'lost'))[1]).toEqual([
      745,
      'on',
      79,
      'blow',
    ]);
    // Also while it waits.
    expect(played(pipe(), held(0), touch(MOUTH, 0, 600), reset(30))).toEqual([[30, 'reset']]);
  });
});

describe('a pipe without a mouth', () => {
  const fingered = (own: Partial<Rules['holes']> = {}) => pipe(own, FINGERED);

  it('sounds when the first fingers have come to rest, with the velocity of the first', () => {
    const events = [
      ...touch(1, 0, 500, 0.5),
      ...touch(0, 30, 500, 1),
      ...touch(2, 40, 520, 1),
    ].sort((a, b) => a.t - b.t);
    expect(played(fingered(), events)).toEqual([
      [85, 'on', 72, 'blow'],
      [544, 'off', 72],
    ]);
    expect(runStage(fingered(), events)[0]).toMatchObject({ strength: 0.5, velocity: 74 });
  });

  it('goes on to other fingerings until the last finger has left', () => {
    expect(played(fingered(), touch(0, 0, 900), touch(1, 300, 600))).toEqual([
      [45, 'on', 76, 'blow'],
      [345, 'slur', 76],
      [345, 'on', 74, 'finger'],
      [645, 'slur', 74],
      [645, 'on', 76, 'finger'],
      [924, 'off', 76],
    ]);
  });

  it('passes over no note on its way to silence', () => {
    expect(
      played(fingered(), touch(0, 0, 540), touch(1, 0, 500), touch(2, 0, 520)).map(
        (event) => (event as unknown[])[2],
      ),
    ).toEqual([72, 72]);
  });

  it('sounds nothing for a flicker, and takes the strength of whichever finger has one', () => {
    expect(played(fingered(), onset(0, 0), lift(0, 8))).toEqual([]);
    const [on] = runStage(fingered(), [
      onset(0, 0),
      onset(1, 4),
      strike(1, 8, 4, 0.25),
      strike(0, 30, 0, 1),
    ]);
    expect(on).toMatchObject({ note: 74, strength: 0.25 });
  });
});

describe('the table of a pipe', () => {
  it('ends what sounds by a reset, and begins a note by nothing but a known fingering', () => {
    for (const [state, rows] of Object.entries(PIPE_TABLE)) {
      const sounds = state === 'sounding' || state === 'tail';
      expect(rows.reset).toEqual({ to: 'silent', act: sounds ? 'end' : 'none' });
      for (const [signal, { to, act }] of Object.entries(rows)) {
        const soundsNext = to === 'sounding' || to === 'tail';
        if (!sounds && soundsNext) expect([signal, act]).toContain('known');
        if (sounds && !soundsNext) expect(act).toBe('end');
        if (act === 'end') expect(sounds).toBe(true);
      }
    }
  });
});
