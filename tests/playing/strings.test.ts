import { describe, expect, it } from 'vitest';
import type { Rules } from '../../src/instrument/types.js';
import type { Strike, TouchEvent } from '../../src/pads/touch.js';
import { STRING_TABLE } from '../../src/playing/string-table.js';
import { strings } from '../../src/playing/strings.js';
import { BASS, PLAIN, withStrings } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const MS = 1_000;
// The E string of the bass: open 28, frets 1 to 4 on pads 3, 7, 11, 15, plucked by pad 19.
const FRET = [NaN, 3, 7, 11, 15] as const;
const PLUCK = 19;

/** A touch that was not seen before it crossed the threshold, and whose contact held. */
function struck(t: number, pad: number, onset: number, strength: number, reach: number): Strike {
  const [contact, shown] = [onset, reach];
  return { type: 'strike', t, pad, onset, contact, strength, reach, shown, landing: 0 };
}

type Move = readonly [ms: number, what: 'fret' | 'lift' | 'pluck', fret: number];
/** Touches of the E string. A fret's strength is known 4 ms after its onset. */
function touched(moves: readonly Move[]): TouchEvent[] {
  const events = moves.flatMap(([ms, what, fret]): TouchEvent[] => {
    const t = ms * MS;
    const pad = what === 'pluck' ? PLUCK : FRET[fret]!;
    if (what === 'lift') return [{ type: 'lift', t, pad }];
    const strength = what === 'pluck' ? fret : 0.5;
    const known = what === 'pluck' ? t : t + 4 * MS;
    const touch: TouchEvent[] = [
      { type: 'onset', t, pad },
      struck(known, pad, t, strength, strength),
    ];
    if (what === 'pluck') touch.push({ type: 'lift', t: t + 50 * MS, pad });
    return touch;
  });
  return events.sort((a, b) => a.t - b.t);
}

function play(rules: Rules, moves: readonly Move[], untilMs = 60_000): unknown[] {
  return runStage(strings(BASS, rules), touched(moves), untilMs * MS).map((event) => {
    const ms = event.t / MS;
    if (event.type === 'reset') return [ms, 'reset'];
    if (event.type === 'on') return [ms, 'on', event.note, event.how];
    return [ms, event.slurred ? 'slur' : 'off', event.note];
  });
}

describe('fret plus pluck', () => {
  it('sounds the open string, which rings for its time', () => {
    expect(play(PLAIN, [[0, 'pluck', 1]])).toEqual([
      [0, 'on', 28, 'pluck'],
      [4_000, 'off', 28],
    ]);
  });

  it('sounds the held fret until it lifts', () => {
    expect(
      play(PLAIN, [
        [0, 'fret', 3],
        [100, 'pluck', 1],
        [900, 'lift', 3],
      ]),
    ).toEqual([
      [100, 'on', 31, 'pluck'],
      [900, 'off', 31],
    ]);
  });

  it('sounds nothing by fretting alone', () => {
    expect(
      play(PLAIN, [
        [0, 'fret', 1],
        [10, 'fret', 3],
        [50, 'lift', 3],
        [60, 'lift', 1],
      ]),
    ).toEqual([]);
  });

  it('ends the old note where the string is plucked again', () => {
    expect(
      play(PLAIN, [
        [0, 'pluck', 1],
        [500, 'pluck', 1],
      ]),
    ).toEqual([
      [0, 'on', 28, 'pluck'],
      [500, 'off', 28],
      [500, 'on', 28, 'pluck'],
      [4_500, 'off', 28],
    ]);
  });

  it('damps the ringing open string by fretting, where the rule is on', () => {
    const moves: Move[] = [
      [0, 'pluck', 1],
      [500, 'fret', 2],
    ];
    // As soon as the fret's strength is known, and so that it was no flicker.
    expect(play(PLAIN, moves)[1]).toEqual([504, 'off', 28]);
    expect(play(withStrings({ 'damp-by-fret': false }), moves)[1]).toEqual([4_000, 'off', 28]);
  });

  it('damps by holding the pluck pad, where the rule is on', () => {
    // The pluck pad is held for 50 ms here.
    const rules = withStrings({ 'damp-by-hold': 30 * MS });
    expect(play(rules, [[0, 'pluck', 1]])[1]).toEqual([30, 'off', 28]);
    expect(play(withStrings({ 'damp-by-hold': 80 * MS }), [[0, 'pluck', 1]])[1]).toEqual([
      4_000,
      'off',
      28,
    ]);
  });

  it.each([
    ['highest', 31],
    ['lowest', 29],
    ['latest', 30],
  ] as const)('lets the %s held fret stop the string', (stop, note) => {
    const moves: Move[] = [
      [0, 'fret', 1],
      [1, 'fret', 3],
      [2, 'fret', 2],
      [100, 'pluck', 1],
    ];
    expect(play(withStrings({ stop }), moves, 101)).toEqual([[100, 'on', note, 'pluck']]);
  });

  it('keeps a note that another fret joins, until its own fret lifts', () => {
    const moves: Move[] = [
      [0, 'fret', 1],
      [10, 'pluck', 1],
      [100, 'fret', 3],
      [200, 'lift', 1],
    ];
    expect(play(PLAIN, moves)).toEqual([
      [10, 'on', 29, 'pluck'],
      [200, 'off', 29],
    ]);
  });

  it('makes velocity of strength', () => {
    const on = (strength: number): number | undefined => {
      const events = runStage(strings(BASS, PLAIN), touched([[0, 'pluck', strength]]), 1);
      return events.map((event) => (event.type === 'on' ? event.velocity : undefined))[0];
    };
    expect([on(0), on(0.5), on(1)]).toEqual([20, 74, 127]);
  });
});

describe('slurs, each by its own rule', () => {
  it('hammers on with the fret’s own strength, onto a sounding note only', () => {
    const rules = withStrings({ 'hammer-on': true });
    const moves: Move[] = [
      [0, 'fret', 1],
      [100, 'pluck', 1],
      [200, 'fret', 3],
      [400, 'lift', 3],
    ];
    expect(play(rules, moves)).toEqual([
      [100, 'on', 29, 'pluck'],
      [204, 'slur', 29],
      [204, 'on', 31, 'hammer'],
      [400, 'off', 31],
    ]);
    expect(play(PLAIN, moves.slice(0, 3), 300)).toEqual([[100, 'on', 29, 'pluck']]);
    expect(
      play(rules, [
        [0, 'fret', 1],
        [100, 'fret', 3],
      ]),
    ).toEqual([]);
  });

  it('hammers on the open string', () => {
    const rules = withStrings({ 'hammer-on': true });
    expect(
      play(rules, [
        [0, 'pluck', 1],
        [200, 'fret', 2],
        [900, 'lift', 2],
      ]),
    ).toEqual([
      [0, 'on', 28, 'pluck'],
      [204, 'slur', 28],
      [204, 'on', 30, 'hammer'],
      [900, 'off', 30],
    ]);
  });

  it('does not take a fret that comes with the pluck for a hammer', () => {
    const rules = withStrings({ 'hammer-on': true });
    expect(
      play(rules, [
        [0, 'fret', 2],
        [2, 'pluck', 1],
        [90, 'lift', 2],
      ]),
    ).toEqual([
      [2, 'on', 30, 'pluck'],
      [90, 'off', 30],
    ]);
  });

  it('pulls off to a lower held fret', () => {
    const moves: Move[] = [
      [0, 'fret', 1],
      [10, 'fret', 4],
      [100, 'pluck', 1],
      [300, 'lift', 4],
      [400, 'lift', 1],
    ];
    expect(play(withStrings({ 'pull-off': true }), moves)).toEqual([
      [100, 'on', 32, 'pluck'],
      [300, 'slur', 32],
      [300, 'on', 29, 'pull'],
      [400, 'off', 29],
    ]);
    expect(play(PLAIN, moves)[1]).toEqual([300, 'off', 32]);
  });

  it('slides to the next fret, overlapping or over a short gap, up or down', () => {
    const rules = withStrings({ slide: true });
    const up: Move[] = [
      [0, 'fret', 2],
      [10, 'pluck', 1],
      [300, 'fret', 3],
      [320, 'lift', 2],
      [500, 'lift', 3],
    ];
    expect(play(rules, up)).toEqual([
      [10, 'on', 30, 'pluck'],
      [320, 'slur', 30],
      [320, 'on', 31, 'slide'],
      [530, 'off', 31],
    ]);
    const down: Move[] = [
      [0, 'fret', 3],
      [10, 'pluck', 1],
      [300, 'lift', 3],
      [320, 'fret', 2],
      [500, 'lift', 2],
    ];
    expect(play(rules, down)).toEqual([
      [10, 'on', 31, 'pluck'],
      [320, 'slur', 31],
      [320, 'on', 30, 'slide'],
      [530, 'off', 30],
    ]);
    expect(play(PLAIN, up).length).toBe(2);
  });

  it('does not slide over a long gap or past a fret', () => {
    const rules = withStrings({ slide: true });
    const late: Move[] = [
      [0, 'fret', 2],
      [10, 'pluck', 1],
      [300, 'lift', 2],
      [340, 'fret', 3],
    ];
    expect(play(rules, late)[1]).toEqual([330, 'off', 30]);
    const far: Move[] = [
      [0, 'fret', 1],
      [10, 'pluck', 1],
      [300, 'lift', 1],
      [310, 'fret', 3],
    ];
    expect(play(rules, far)).toEqual([
      [10, 'on', 29, 'pluck'],
      [330, 'off', 29],
    ]);
  });
});

describe('forgiving rules', () => {
  const often = PLAIN;

  it('gives the meant note where a fret comes right after its pluck', () => {
    const moves: Move[] = [
      [0, 'pluck', 1],
      [15, 'fret', 2],
      [400, 'lift', 2],
    ];
    expect(play(often, moves)).toEqual([
      [0, 'on', 28, 'pluck'],
      [15, 'slur', 28],
      [15, 'on', 30, 'late'],
      [400, 'off', 30],
    ]);
    expect(play(withStrings({ 'late-fret': null }), moves)[1]).toEqual([19, 'off', 28]);
  });

  it('waits for such a fret while the player is often late, and no longer', () => {
    const late = (at: number): Move[] => [
      [at, 'pluck', 1],
      [at + 15, 'fret', 2],
      [at + 100, 'lift', 2],
    ];
    const open = (at: number): Move => [at, 'pluck', 1];
    const heard = play(
      often,
      [...late(0), ...late(1_000), ...[4, 5, 6, 7, 8, 9, 10, 11, 12].map((n) => open(n * 500))],
      6_100,
    );
    const on = heard.filter((event) => (event as unknown[])[1] === 'on');
    expect(on.slice(0, 4)).toEqual([
      [0, 'on', 28, 'pluck'],
      [15, 'on', 30, 'late'],
      [1_015, 'on', 30, 'pluck'],
      [2_022, 'on', 28, 'pluck'],
    ]);
    expect(on.at(-1)).toEqual([6_000, 'on', 28, 'pluck']);
    const always = play(withStrings({ 'wait-for-fret': 'always' }), [open(0)], 100);
    expect(always).toEqual([[22, 'on', 28, 'pluck']]);
  });

  it('does not let a fret that is lifting stop the next note', () => {
    const events = touched([
      [0, 'fret', 4],
      [100, 'pluck', 1],
      [300, 'fret', 2],
      [500, 'pluck', 1],
    ]);
    const loose: TouchEvent = { type: 'loose', t: 490 * MS, pad: FRET[4] };
    const lift: TouchEvent = { type: 'lift', t: 514 * MS, pad: FRET[4] };
    const all = [...events, loose, lift].sort((a, b) => a.t - b.t);
    const notes = runStage(strings(BASS, PLAIN), all, 510 * MS).flatMap((event) =>
      event.type === 'on' ? [event.note] : [],
    );
    expect(notes).toEqual([32, 30]);
  });

  it.each([
    [20, 31],
    [60, 28],
  ])('takes a fret that no pluck has used, %i ms after it let go, for note %i', (gap, note) => {
    const press = touched([[0, 'fret', 3]]);
    const off = 200 * MS;
    const all: TouchEvent[] = [
      ...press,
      { type: 'loose', t: off, pad: FRET[3] },
      { type: 'lift', t: off + 24 * MS, pad: FRET[3] },
      ...touched([[200 + gap, 'pluck', 1]]),
    ];
    const heard = runStage(
      strings(BASS, PLAIN),
      all.sort((a, b) => a.t - b.t),
      (201 + gap) * MS,
    );
    expect(heard.map((event) => event.type === 'on' && event.note)).toEqual([note]);
  });

  it('forgets a fret that was only tapped', () => {
    const all: TouchEvent[] = [
      ...touched([[0, 'fret', 3]]),
      { type: 'loose', t: 30 * MS, pad: FRET[3] },
      { type: 'lift', t: 54 * MS, pad: FRET[3] },
      ...touched([[500, 'pluck', 1]]),
    ];
    const heard = runStage(strings(BASS, PLAIN), all, 501 * MS);
    expect(heard.map((event) => event.type === 'on' && event.note)).toEqual([28]);
  });

  it('takes a fret that slipped for the one meant, though a lower one was down under it', () => {
    const all: TouchEvent[] = [
      ...touched([
        [0, 'fret', 2],
        [10, 'fret', 3],
      ]),
      { type: 'loose', t: 200 * MS, pad: FRET[3] },
      ...touched([[205, 'pluck', 1]]),
    ];
    const heard = runStage(strings(BASS, PLAIN), all, 206 * MS);
    expect(heard.map((event) => event.type === 'on' && event.note)).toEqual([31]);
  });

  it('leaves out a brush whose strength is told a scan before that of the firm pluck', () => {
    const all: TouchEvent[] = [
      { type: 'onset', t: 0, pad: PLUCK },
      { type: 'onset', t: 4 * MS, pad: 18 },
      struck(4 * MS, PLUCK, 0, 0.2, 0.4),
      struck(8 * MS, 18, 4 * MS, 0.8, 0.9),
      { type: 'loose', t: 20 * MS, pad: PLUCK },
      { type: 'lift', t: 44 * MS, pad: PLUCK },
    ];
    const heard = runStage(strings(BASS, PLAIN), all, 100 * MS);
    expect(heard.map((event) => event.type === 'on' && [event.t / MS, event.note])).toEqual([
      [8, 33],
    ]);
  });

  it('lets no note of a chord wait for another that is just beginning, if it is firm beside any', () => {
    const chord = (shown: number): TouchEvent[] => [
      { type: 'onset', t: 0, pad: PLUCK },
      { type: 'onset', t: 4 * MS, pad: 18 },
      struck(4 * MS, PLUCK, 0, 0.7, shown),
      struck(8 * MS, 18, 4 * MS, 0.8, 0.9),
    ];
    const onsOf = (shown: number): unknown[] =>
      runStage(strings(BASS, PLAIN), chord(shown), 100 * MS).flatMap((event) =>
        event.type === 'on' ? [[event.t / MS, event.note]] : [],
      );
    // 0.75 is the share that the rules call grazing, here of a full touch.
    expect(onsOf(0.76)).toEqual([
      [4, 28],
      [8, 33],
    ]);
    expect(onsOf(0.74)).toEqual([
      [8, 33],
      [8, 28],
    ]);
  });

  it('does not take the guess at a bounced brush for a firm pluck, but one that comes back firm', () => {
    // What was read of it is weak; contact was lost at once, and the reach is what touches usually have.
    const bounced: TouchEvent[] = [
      { type: 'onset', t: 0, pad: 18 },
      struck(4 * MS, 18, 0, 0.8, 0.9),
      { type: 'onset', t: 4 * MS, pad: PLUCK },
      { ...struck(8 * MS, PLUCK, 4 * MS, 0.5, 0.75), shown: 0.4 },
      { type: 'loose', t: 12 * MS, pad: PLUCK },
    ];
    const heard = (more: TouchEvent[]): unknown[] =>
      runStage(strings(BASS, PLAIN), [...bounced, ...more], 100 * MS).map(
        (event) => event.type === 'on' && [event.t / MS, event.note],
      );
    expect(heard([{ type: 'lift', t: 36 * MS, pad: PLUCK }])).toEqual([[4, 33]]);
    expect(heard([{ type: 'firm', t: 20 * MS, pad: PLUCK, level: 0.8 }])).toEqual([
      [4, 33],
      [20, 28],
    ]);
    expect(heard([{ type: 'firm', t: 20 * MS, pad: PLUCK, level: 0.4 }])).toEqual([
      [4, 33],
      [48, 28],
    ]);
  });

  it('leaves a fret that comes soon after the threshold, but not after the contact, to the next pluck', () => {
    const onset = 8 * MS;
    const soft = (contact: number): unknown[] =>
      runStage(
        strings(BASS, PLAIN),
        [
          { type: 'onset', t: onset, pad: PLUCK },
          { ...struck(12 * MS, PLUCK, onset, 0.2, 0.4), contact },
          { type: 'onset', t: 28 * MS, pad: FRET[3] },
        ],
        40 * MS,
      ).map((event) => event.type === 'on' && event.note);
    expect(soft(onset)).toEqual([28, false, 31]);
    expect(soft(4 * MS)).toEqual([28]);
  });

  it('sounds nothing where a thumb is laid down slowly', () => {
    const laid = touched([[0, 'pluck', 1]]).map((event) =>
      event.type === 'strike' ? { ...event, landing: 12 * MS } : event,
    );
    expect(runStage(strings(BASS, PLAIN), laid)).toEqual([]);
    expect(runStage(strings(BASS, withStrings({ 'resting-thumb': null })), laid).length).toBe(2);
  });

  /** A firm pluck of the A string, and a weak one of the E string 8 ms later that lasts `ms`. */
  function beside(ms: number, rules = PLAIN): unknown[] {
    const firm: TouchEvent[] = [{ type: 'onset', t: 0, pad: 18 }, struck(0, 18, 0, 0.8, 0.9)];
    const at = 8 * MS;
    const weak: TouchEvent[] = [
      { type: 'onset', t: at, pad: PLUCK },
      struck(at, PLUCK, at, 0.2, 0.4),
      { type: 'loose', t: at + ms * MS, pad: PLUCK },
      { type: 'lift', t: at + (ms + 24) * MS, pad: PLUCK },
    ];
    return runStage(strings(BASS, rules), [...firm, ...weak], 100 * MS).map((event) =>
      event.type === 'on' ? [event.t / MS, event.note] : event.type,
    );
  }

  it('leaves a brushed string silent, and sounds a soft note of a chord a little later', () => {
    expect(beside(20)).toEqual([[0, 33]]);
    expect(beside(60)).toEqual([
      [0, 33],
      [52, 28],
    ]);
    expect(beside(20, withStrings({ brush: null }))).toEqual([
      [0, 33],
      [8, 28],
    ]);
  });
});

describe('the string table', () => {
  it('has an answer to every signal in every state', () => {
    const signals = Object.keys(STRING_TABLE.silent).sort();
    expect(signals.length).toBe(12);
    for (const row of Object.values(STRING_TABLE)) expect(Object.keys(row).sort()).toEqual(signals);
  });

  it('ends every sounding state by a reset', () => {
    for (const state of ['open', 'stopped', 'leaving'] as const) {
      expect(STRING_TABLE[state].reset).toEqual({ to: 'silent', act: 'end' });
    }
  });
});

describe('a pluck after a hammer-on, pull-off or slide of its own fret', () => {
  const LEGATO = withStrings({ 'hammer-on': true, 'pull-off': true, slide: true });
  type Line = readonly [ms: number, what: string, note: number, how?: string];
  const isOn = (line: unknown): boolean => (line as Line)[1] === 'on';
  const hammered = (line: unknown): number[] => {
    const [ms, , , how] = line as Line;
    return how === 'hammer' ? [ms] : [];
  };
  /** The open string rings; its fret comes, and 55 ms later its pluck; all over again a second later. */
  const fretsThenPlucks = (times: number): Move[] =>
    Array.from({ length: times }, (_, i): Move[] => [
      [1_000 * i, 'pluck', 1],
      [1_000 * i + 500, 'fret', 2],
      [1_000 * i + 555, 'pluck', 0.8],
      [1_000 * i + 800, 'lift', 2],
    ]).flat();

  it('is one note, the pluck’s, once the player did so before', () => {
    const all = play(LEGATO, fretsThenPlucks(3)).filter(isOn);
    expect(all).toEqual([
      [0, 'on', 28, 'pluck'],
      // Nobody can know yet that a pluck follows.
      [504, 'on', 30, 'hammer'],
      [555, 'on', 30, 'pluck'],
      [1_000, 'on', 28, 'pluck'],
      [1_555, 'on', 30, 'pluck'],
      [2_000, 'on', 28, 'pluck'],
      [2_555, 'on', 30, 'pluck'],
    ]);
  });

  it('has the strength of the pluck, and ends what rang until then', () => {
    const notes = runStage(strings(BASS, LEGATO), touched(fretsThenPlucks(2)), 60_000 * MS);
    const last = notes.findIndex((one) => one.type === 'on' && one.t === 1_555 * MS);
    expect(notes[last]).toMatchObject({ note: 30, strength: 0.8, how: 'pluck' });
    expect(notes[last - 1]).toMatchObject({ type: 'off', t: 1_555 * MS, note: 28, slurred: false });
  });

  it('is waited for no longer than the rule says, and then the fret sounds', () => {
    const hammer: Move[] = [
      [5_000, 'pluck', 1],
      [5_500, 'fret', 3],
    ];
    expect(play(LEGATO, [...fretsThenPlucks(2), ...hammer]).slice(-2)).toEqual([
      [5_634, 'slur', 28],
      [5_634, 'on', 31, 'hammer'],
    ]);
    const shorter = withStrings({ 'hammer-on': true, 'pluck-after': 80 * MS });
    expect(play(shorter, [...fretsThenPlucks(2), ...hammer]).at(-1)).toEqual([
      ...[5_584, 'on', 31],
      'hammer',
    ]);
  });

  it('is not waited for where the player hammers on', () => {
    const hammers = Array.from({ length: 4 }, (_, i): Move[] => [
      [10_000 + 1_000 * i, 'pluck', 1],
      [10_500 + 1_000 * i, 'fret', 2],
      [10_800 + 1_000 * i, 'lift', 2],
    ]).flat();
    const at = (moves: readonly Move[]): unknown[] =>
      play(LEGATO, moves).flatMap((one) => hammered(one).map((ms) => ms % 1_000));
    expect(at(hammers)).toEqual([504, 504, 504, 504]);
    // However long the player fretted for plucks before: after three it is known.
    expect(at([...fretsThenPlucks(9), ...hammers])).toEqual([504, 634, 634, 634, 504]);
  });

  it.each([
    ['never', [504, 1_504, 2_504]],
    ['always', []],
  ] as const)('is waited for %s, where the rules say so', (rule, hammers) => {
    const rules = withStrings({ 'hammer-on': true, 'wait-for-pluck': rule });
    expect(play(rules, fretsThenPlucks(3)).flatMap(hammered)).toEqual(hammers);
  });

  it('leaves the note that rings alone where the fret that waits lifts again', () => {
    const rules = withStrings({ 'hammer-on': true, 'wait-for-pluck': 'always' });
    expect(
      play(rules, [
        [0, 'pluck', 1],
        [500, 'fret', 2],
        [560, 'lift', 2],
      ]),
    ).toEqual([
      [0, 'on', 28, 'pluck'],
      [4_000, 'off', 28],
    ]);
    // The finger of the note itself has lifted meanwhile: nothing holds it any more.
    expect(
      play(rules, [
        [0, 'fret', 1],
        [50, 'pluck', 1],
        [500, 'fret', 3],
        [530, 'lift', 1],
        [560, 'lift', 3],
      ]),
    ).toEqual([
      [50, 'on', 29, 'pluck'],
      [560, 'off', 29],
    ]);
  });

  it('sounds the fret that waits as soon as the next one is hammered on', () => {
    const rules = withStrings({ 'hammer-on': true, 'wait-for-pluck': 'always' });
    const moves: Move[] = [
      [0, 'pluck', 1],
      [500, 'fret', 1],
      [560, 'fret', 2],
    ];
    expect(play(rules, moves).filter(isOn)).toEqual([
      [0, 'on', 28, 'pluck'],
      [564, 'on', 29, 'hammer'],
      [694, 'on', 30, 'hammer'],
    ]);
  });

  it('covers a pull-off and a slide as well', () => {
    const always = { 'wait-for-pluck': 'always', slide: true, 'pull-off': true } as const;
    const pulled: Move[] = [
      [0, 'fret', 1],
      [0, 'fret', 4],
      [50, 'pluck', 1],
      [500, 'lift', 4],
      [560, 'pluck', 1],
    ];
    const slid: Move[] = [
      [0, 'fret', 2],
      [50, 'pluck', 1],
      [500, 'lift', 2],
      [510, 'fret', 3],
      [560, 'pluck', 1],
    ];
    const ons = (moves: readonly Move[]): unknown[] =>
      play(withStrings(always), moves).filter(isOn);
    expect(ons(pulled)).toEqual([
      [50, 'on', 32, 'pluck'],
      [560, 'on', 29, 'pluck'],
    ]);
    expect(ons(slid)).toEqual([
      [50, 'on', 30, 'pluck'],
      [560, 'on', 31, 'pluck'],
    ]);
  });
});
