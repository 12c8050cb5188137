import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Instrument, Rules } from '../../src/instrument/types.js';
import type { TouchEvent } from '../../src/pads/touch.js';
import type { NoteEvent } from '../../src/playing/note.js';
import type { LogicEvent, Setup } from '../../src/playing/own-logic-contract.js';
import { ownLogic } from '../../src/playing/own-logic.js';
import { LogicFault, type Logic } from '../../src/playing/own-logic-run.js';
import { setupOf } from '../../src/playing/own-logic-setup.js';
import { playing } from '../../src/playing/playing.js';
import type { Reason } from '../../src/time/events.js';
import { BASS, PLAIN, withStrings } from '../support/bass.js';
import { shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

/** A module that answers each event as told, and throws what is thrown. */
function logicOf(
  answer: (event: LogicEvent, setup: Setup) => unknown,
  log: string[] = [],
  begin: () => void = () => undefined,
): Logic {
  return {
    file: 'own.ts',
    begin: () => {
      begin();
      log.push('begin');
      return {
        again: () => log.push('again'),
        step: (event, setup) => answer(event, setup),
        end: () => log.push('end'),
      };
    },
  };
}

const strike = (t: number, pad: number, strength = 1): TouchEvent => ({
  type: 'strike',
  t,
  pad,
  strength,
  onset: t,
  contact: t,
  reach: strength,
  shown: strength,
  landing: 0,
});
const onset = (t: number, pad: number): TouchEvent => ({ type: 'onset', t, pad });
const lift = (t: number, pad: number): TouchEvent => ({ type: 'lift', t, pad });
const reset = (t: number, why: Reason): TouchEvent => ({ type: 'reset', t, why });

function play(
  logic: Logic | null,
  events: readonly TouchEvent[],
  instrument: Instrument = BASS,
  rules: Rules = PLAIN,
): { out: NoteEvent[]; faults: [number, LogicFault][] } {
  const faults: [number, LogicFault][] = [];
  const stage = ownLogic(instrument, rules, logic, (t, fault) => faults.push([t, fault]));
  return { out: runStage(stage, events), faults };
}

const on = { type: 'on', note: 40, string: 1, strength: 0.5 };

describe('own logic', () => {
  it('sounds what its module answers, with the velocities of the rules', () => {
    const rules = { ...PLAIN, velocity: { softest: 1, hardest: 101, curve: 1 } };
    const logic = logicOf((event) => ({ out: event.type === 'strike' ? [on] : [] }));
    const { out, faults } = play(logic, [strike(5, 17), reset(9, 'end')], BASS, rules);
    expect(faults).toEqual([]);
    expect(out).toEqual([
      { ...on, t: 5, velocity: 51, fret: 0, how: 'pluck' },
      { type: 'off', t: 9, note: 40, string: 1, slurred: false },
      reset(9, 'end'),
    ]);
  });

  it('ends a string before its next note, and slurs where that is asked for', () => {
    const answers = [[on], [on], [{ ...on, note: 42, slur: true }], [{ type: 'off', string: 1 }]];
    const logic = logicOf(({ t }) => ({ out: answers[t - 1] ?? [] }));
    const touches = [1, 2, 3, 4, 5].map((t) => strike(t, 17));
    const { out } = play(logic, touches);
    expect(
      out.map((event) => ('how' in event ? event.how : event.type === 'off' && event.slurred)),
    ).toEqual(['pluck', false, 'pluck', true, 'hammer', false]);
  });

  it('is woken at the time it asked for, and at most a thousand times a second', () => {
    const woken: number[] = [];
    const logic = logicOf(({ t, type }) => {
      if (type === 'wake') woken.push(t);
      return { wake: t < 4_000 ? t + 10 : null };
    });
    play(logic, [strike(1_000, 17)]);
    expect(woken).toEqual([1_010, 2_010, 3_010, 4_010]);
  });

  it('begins again at a reset, lets go at the end, and plays again if more comes', () => {
    const log: string[] = [];
    const events = [strike(1, 16), reset(2, 'silence'), reset(3, 'end'), strike(4, 16)];
    play(
      logicOf(() => ({}), log),
      events,
    );
    expect(log).toEqual(['begin', 'again', 'end', 'begin']);
  });

  it('hears of other rules without losing its state', () => {
    const rings: number[] = [];
    const log: string[] = [];
    const logic = logicOf((_, setup) => {
      rings.push(setup.rules.strings.ring);
      return {};
    }, log);
    const [one, two] = [PLAIN, withStrings({ ring: 77 })].map((rules) =>
      ownLogic(BASS, rules, logic, () => undefined),
    );
    const first = one!.step(one!.begin(), strike(1, 16));
    two!.step(first.state, strike(2, 16));
    expect(rings).toEqual([PLAIN.strings.ring, 77]);
    expect(log).toEqual(['begin']);
  });
});

describe('own logic that fails', () => {
  const fault = new LogicFault('TypeError: no such thing', 'own.ts:3:4', 'Fix it.');

  it('ends its notes, is told of once, and the built-in logic plays on', () => {
    const log: string[] = [];
    const logic = logicOf((event) => {
      if (event.t > 5) throw fault;
      return { out: [on], wake: 1_000 };
    }, log);
    const touches = [onset(40, 17), strike(41, 17), lift(90, 17)];
    const { out, faults } = play(logic, [strike(5, 17), onset(10, 16), ...touches]);
    expect(faults).toEqual([[10, fault]]);
    expect(log).toEqual(['begin', 'end']);
    expect(out.slice(0, 3)).toEqual([
      expect.objectContaining({ type: 'on', t: 5 }),
      { type: 'off', t: 10, note: 40, string: 1, slurred: false },
      reset(10, 'fault'),
    ]);
    expect(out.slice(3)).toEqual(runStage(playing(BASS, PLAIN), touches));
    expect(out.length).toBeGreaterThan(4);
  });

  it('already as it begins is told of with the first event, and nothing is lost', () => {
    const logic = logicOf(
      () => ({}),
      [],
      () => {
        throw fault;
      },
    );
    const touches = [onset(40, 17), strike(41, 17), lift(90, 17)];
    const { out, faults } = play(logic, touches);
    expect(faults).toEqual([[40, fault]]);
    expect(out).toEqual(runStage(playing(BASS, PLAIN), touches));
  });

  it('as it begins again after a reset: the reset goes on all the same', () => {
    const run = { again: () => void raise(), step: () => ({ out: [on] }), end: () => undefined };
    const raise = (): never => {
      throw fault;
    };
    const { out, faults } = play({ file: 'own.ts', begin: () => run }, [
      strike(1, 16),
      reset(2, 'silence'),
    ]);
    expect(faults).toEqual([[2, fault]]);
    expect(out.at(-1)).toEqual(reset(2, 'silence'));
    expect(out.filter(({ type }) => type === 'off')).toHaveLength(1);
  });

  it.each<[unknown, RegExp]>([
    [undefined, /answered nothing/],
    [[], /answered \[\]/],
    [{ out: {} }, /out \{\}/],
    [{ out: [{ type: 'begin' }] }, /type "begin"/],
    [{ out: [{ ...on, note: 128 }] }, /note 128.*whole number from 0 to 127/],
    [{ out: [{ ...on, note: 60.5 }] }, /note 60\.5/],
    [{ out: [{ ...on, note: null }] }, /note null/],
    [{ out: [{ ...on, string: 4 }] }, /string 4.*0 to 3/],
    [{ out: [{ ...on, strength: 80 }] }, /strength 80.*0 to 1/],
    [{ out: [{ ...on, fret: 5 }] }, /fret 5.*0 to 4/],
    [{ out: [{ ...on, slur: 'yes' }] }, /slur "yes"/],
    [{ out: [{ type: 'off', string: -1 }] }, /string -1/],
    [{ out: Array.from({ length: 257 }, () => on) }, /257 notes/],
    [{ wake: 5 }, /wake 5.*later.*5 µs/],
    [{ wake: '100ms' }, /wake "100ms"/],
  ])(
    'with a wrong answer says what is wrong with it, and what is allowed ($1)',
    (answer, words) => {
      const { out, faults } = play(
        logicOf(() => answer),
        [strike(5, 17)],
      );
      expect(out).toEqual([reset(5, 'fault')]);
      const [[, { what, where, next }]] = faults as [[number, LogicFault]];
      expect(`${what}. ${next}`).toMatch(words);
      expect(where).toBe('own.ts');
    },
  );

  it('lets through what is no fault of the module', () => {
    const logic = logicOf(() => {
      throw new RangeError('ours');
    });
    expect(() => play(logic, [strike(5, 17)])).toThrow(RangeError);
  });
});

describe('another module while somebody plays', () => {
  const sounding = (logic: Logic | null) => {
    const stage = ownLogic(BASS, PLAIN, logic, () => undefined);
    const first = stage.step(stage.begin(), onset(1, 17));
    return stage.step(first.state, strike(2, 17)).state;
  };
  const answers = (note: number, log: string[] = []) =>
    logicOf(({ type }) => ({ out: type === 'strike' ? [{ ...on, note }] : [] }), log);

  it.each([
    ['after a module', () => answers(41), 41],
    ['after the built-in logic', () => null, 38],
  ])('ends what sounds %s', (_, before, note) => {
    const stage = ownLogic(BASS, PLAIN, answers(45), () => undefined);
    const { out } = stage.step(sounding(before()), strike(9, 17));
    expect(out).toEqual([
      { type: 'off', t: 9, note, string: 1, slurred: false },
      expect.objectContaining({ type: 'on', t: 9, note: 45 }),
    ]);
  });

  it('lets go of the old one, and wakes nobody who did not ask', () => {
    const [old, own]: string[][] = [[], []];
    const stage = ownLogic(BASS, PLAIN, answers(45, own), () => undefined);
    const { out, wake } = stage.step(sounding(answers(41, old)), { type: 'wake', t: 9 });
    expect(out.map(({ type }) => type)).toEqual(['off']);
    expect(wake).toBe(Infinity);
    expect([old, own]).toEqual([['begin', 'end'], ['begin']]);
  });

  it('none, and the built-in logic goes on as if alone', () => {
    const touches = [onset(40, 17), strike(41, 17), lift(90, 17), reset(99, 'end')];
    expect(play(null, touches).out).toEqual(runStage(playing(BASS, PLAIN), touches));
  });
});

describe('what a module is told', () => {
  it('is what each pad is for, on every kind of instrument', () => {
    const pad = (name: string, n: number) => setupOf(shipped(name), PLAIN).pads[n];
    expect(pad('bass-4x4', 6)).toEqual({
      name: 'A1 fret 2',
      part: 'fret',
      string: 2,
      fret: 2,
      note: 35,
    });
    expect(pad('bass-4x4', 17)).toMatchObject({ part: 'pluck', string: 1, fret: 0, note: 38 });
    expect(pad('keys-13', 12)).toMatchObject({ name: 'C5', part: 'key', string: 12, note: 72 });
    expect(pad('pipe-8', 8)).toMatchObject({ name: 'mouth', part: 'mouth', note: null });
    expect(pad('pipe-8', 2)).toMatchObject({ name: 'hole 3', part: 'hole', string: 0 });
    expect(pad('drums-6', 1)).toMatchObject({ name: 'snare drum', part: 'drum', note: 38 });
    expect(setupOf(shipped('pipe-8'), PLAIN).strings).toEqual([
      { name: 'pipe', note: 72, frets: 0 },
    ]);
  });

  it('is all plain data, and not its own source', () => {
    const rules = { ...PLAIN, logic: { file: 'own.ts', code: 'secret' } };
    const setup = setupOf({ ...BASS, strings: [{ open: 60, frets: [], pluck: 2 }] }, rules);
    expect(JSON.parse(JSON.stringify(setup))).toEqual(setup);
    expect(setup.pads).toHaveLength(3);
    expect(setup.pads[0]).toBeNull();
    expect(JSON.stringify(setup)).not.toContain('secret');
  });

  it('stands in a file that may be copied: config/logic/contract.ts needs no other', () => {
    const path = new URL('../../config/logic/contract.ts', import.meta.url);
    expect(readFileSync(path, 'utf8')).not.toMatch(/^import/m);
  });
});
