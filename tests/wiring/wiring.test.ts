import { describe, expect, it } from 'vitest';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import { WIRE_TABLE } from '../../src/wiring/table.js';
import type { WireKey, WireKeyName } from '../../src/wiring/watch.js';
import type { Scan, WireEvent } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { BOARD, learn, LIVE, TAKE } from './learn.js';
import { changesOf, inTurn, wireUnit, type Press } from './unit.js';

const key = (ms: number, name: WireKeyName): WireKey => ({ type: 'key', t: ms * 1_000, key: name });
const reset = (ms: number, why: 'lost' | 'overflow'): WireEvent => ({
  type: 'reset',
  t: ms * 1_000,
  why,
});
const THREE = { ...BOARD, pads: 3 };
const three = (plan = LIVE) => ({ ...plan, order: [0, 1, 2] });
/** A badly built unit of three pads: what is told while it is touched so. */
function touched(
  presses: readonly Press[],
  more: readonly (WireEvent | WireKey)[] = [],
  of = LIVE,
) {
  const unit = wireUnit({ pads: 3, seed: 4, inputs: 5 });
  const seconds = 2 + Math.max(0, ...presses.map(({ until }) => until)) / 1_000;
  const learned = learn([...unit.scans(presses, seconds), ...more], three(of), THREE);
  const on = (pad: number): string => `${String(pad)} on ${String(unit.inputOf(pad))}`;
  return { ...learned, unit, on };
}

describe('the printed order', () => {
  it('goes string by string as the file lists them, frets from the nut on, then the pluck pad', () => {
    expect(printedOrder(BASS).slice(0, 10)).toEqual([0, 4, 8, 12, 16, 1, 5, 9, 13, 17]);
    expect([...printedOrder(BASS)].sort((a, b) => a - b)).toEqual(LIVE.order);
  });
});

describe('mistakes while a wiring is learned', () => {
  it('do not count a pad that has its input already', () => {
    const pads = [0, 0, 1, 0, 2];
    const { told, wiring, unit, on } = touched(inTurn(pads, 1_000));
    expect(told).toEqual([
      ...['ask', `wired ${on(0)}`, `already ${on(0)}`, `wired ${on(1)}`, `already ${on(0)}`],
      ...[`wired ${on(2)}`, 'kept'],
    ]);
    expect(wiring).toEqual(unit.wiring);
  });

  it('are taken back by a key, and the pad is asked for again', () => {
    const { told, wiring, unit, notices } = touched(inTurn([0, 2, 1, 2], 1_000), [
      key(1_700, 'back'),
    ]);
    expect(told.filter((one) => one.startsWith('back'))).toEqual(['back 1']);
    expect(wiring).toEqual(unit.wiring);
    expect(notices.find(({ type }) => type === 'back')?.ask).toEqual({ pad: 1, number: 2, of: 3 });
  });

  it('are taken back by holding the last pad for two seconds, which does not count itself', () => {
    const wrong = inTurn([0, 2], 1_000);
    const hold = { pad: 2, at: 2_000, until: 4_200 };
    const right = inTurn([1, 2], 4_600);
    const { told, wiring, unit } = touched([...wrong, hold, ...right]);
    expect(told.filter((one) => /back|already/.test(one))).toEqual(['back 1']);
    expect(wiring).toEqual(unit.wiring);
  });

  it('are not taken back by a touch that is shorter, or of another pad', () => {
    const shorter = { pad: 1, at: 2_000, until: 3_800 };
    const other = { pad: 0, at: 4_000, until: 6_400 };
    const { told } = touched([...inTurn([0, 1], 1_000), shorter, other]);
    expect(told.some((one) => one.startsWith('back'))).toBe(false);
  });

  it('count a slow touch of a new pad live; in a take any touch that long takes back', () => {
    const presses = [...inTurn([0], 1_000), { pad: 1, at: 1_600, until: 3_900 }];
    expect(touched(presses).told.at(-2)).toMatch(/^wired 1/);
    const taken = touched([...presses, ...inTurn([0, 1, 2], 4_300)], [], TAKE);
    expect(taken.told.filter((one) => one.startsWith('back'))).toEqual(['back 0']);
    expect(taken.wiring).toEqual(taken.unit.wiring);
  });

  it('take back the very last answer too, before it is kept', () => {
    const { told, wiring, unit } = touched(inTurn([0, 1, 2, 2], 1_000), [key(2_100, 'back')]);
    expect(told.filter((one) => one.startsWith('back'))).toEqual(['back 2']);
    expect(wiring).toEqual(unit.wiring);
  });

  it('let a wrong touch be dropped by the key while it is on', () => {
    const { told, wiring, unit, on } = touched(inTurn([0, 2, 1, 2], 1_000), [key(1_500, 'back')]);
    expect(told).toContain(`dropped ${String(unit.inputOf(2))}`);
    expect(told).not.toContain(`wired 1 on ${String(unit.inputOf(2))}`);
    expect(told).toContain(`wired ${on(0)}`);
    expect(wiring).toEqual(unit.wiring);
  });

  it('say so where there is nothing to take back', () => {
    expect(touched([], [key(1_000, 'back')]).told).toContain('back undefined');
  });
});

describe('pads that cannot be learned', () => {
  it('are skipped by a key, and get no input', () => {
    const { wiring, unit } = touched(inTurn([0, 2], 1_000), [key(1_300, 'skip')]);
    expect(wiring).toEqual(unit.wiring.map((pad) => (pad === 1 ? null : pad)));
  });

  it('are asked for again when the skip is taken back', () => {
    const keys = [key(1_300, 'skip'), key(1_350, 'back')];
    const { wiring, unit } = touched(inTurn([0, 1, 2], 1_000), keys);
    expect(wiring).toEqual(unit.wiring);
  });

  it('are named after a while in which nothing was touched', () => {
    const { told } = touched([{ pad: 0, at: 15_000, until: 15_200 }]);
    expect(told.slice(0, 3)).toEqual(['ask', 'remind', expect.stringMatching(/^wired 0/)]);
  });
});

describe('the end', () => {
  it('comes by itself, a moment after the last pad', () => {
    const { notices, told } = touched(inTurn([0, 1, 2], 1_000));
    expect(told.at(-1)).toBe('kept');
    const [wired, kept] = notices.slice(-2);
    expect(kept!.t - wired!.t).toBe(LIVE.grace);
  });

  it('is without a wiring where not every pad had its turn', () => {
    const { told, wiring } = touched(inTurn([0, 1], 1_000), [key(2_400, 'quit')]);
    expect(told.at(-1)).toBe('left');
    expect(wiring).toBeNull();
  });

  it('tells of a touch of an input that no pad is left for', () => {
    const unit = wireUnit({ pads: 4, seed: 9 });
    const scans = unit.scans(inTurn([0, 1, 2, 3], 1_000), 4);
    const { told } = learn(scans, three(), THREE);
    expect(told).toContain(`spare ${String(unit.inputOf(3))}`);
  });
});

describe('a unit that is not well', () => {
  it('has its rest taken again where a finger lay on a pad from the start', () => {
    const presses = [{ pad: 1, at: -100, until: 1_500 }, ...inTurn([0, 1, 2], 9_000)];
    const { wiring, unit, told } = touched(presses);
    expect(told).toContain(`stuck ${String(unit.inputOf(1))}`);
    expect(wiring).toEqual(unit.wiring);
  });

  it('says so of a touch that does not end, and goes on as soon as it does', () => {
    const presses = [...inTurn([0], 1_000), { pad: 2, at: 1_500, until: 8_000 }];
    const { wiring, unit, told } = touched([...presses, ...inTurn([1, 2], 8_300)]);
    expect(told).toContain(`stuck ${String(unit.inputOf(2))}`);
    expect(wiring).toEqual(unit.wiring);
  });

  it('may go away and come back: what was learned stays', () => {
    const { told, wiring, unit } = touched(inTurn([0, 1, 2], 1_000, 1_500), [reset(1_900, 'lost')]);
    expect(told).toContain('lost');
    expect(wiring).toEqual(unit.wiring);
  });

  it('counts a touch once when readings were dropped in it', () => {
    const { wiring, unit, told } = touched(inTurn([0, 1, 2], 1_000), [reset(1_500, 'overflow')]);
    expect(told.filter((one) => one.startsWith('wired'))).toHaveLength(3);
    expect(wiring).toEqual(unit.wiring);
  });

  it('is not heard to touch anything while it is silent', () => {
    // A reading at the far end of its noise comes last, then nothing for half a minute.
    const unit = wireUnit({ pads: 3, seed: 4, sigma: [9, 9], hum: [14, 14] });
    for (let cut = 1_000; cut < 1_200; cut += 8) {
      const scans = unit.scans([], cut / 1_000);
      expect(learn(scans, three({ ...LIVE, reminders: false }), THREE, 30_000_000).told).toEqual([
        'ask',
        'left',
      ]);
    }
  });
});

describe('wires that tell only changes', () => {
  const unit = wireUnit({ pads: 20, seed: 12, inputs: 60 });
  const full = 127;

  it('are learned from notes, from the very first message on', () => {
    const notes = changesOf(inTurn(LIVE.order, 0), unit.inputOf);
    const { wiring } = learn(notes, LIVE, { pads: 20, full, decided: true });
    const highest = unit.wiring.findLastIndex((pad) => pad !== null);
    expect(wiring).toEqual(unit.wiring.slice(0, highest + 1));
  });

  it('are learned from the softest touches, and from key pressure', () => {
    const soft = inTurn(LIVE.order, 0, 200).map((one) => ({ ...one, strength: 1 / 127 }));
    const { told } = learn(changesOf(soft, unit.inputOf), LIVE, { pads: 20, full, decided: false });
    expect(told.filter((one) => one.startsWith('wired'))).toHaveLength(20);
  });

  it('take back by a held touch although nothing is sent meanwhile', () => {
    const presses = [
      ...inTurn([0, 2], 0),
      { pad: 2, at: 1_000, until: 3_100 },
      ...inTurn([1, 2], 3_400),
    ];
    const { wiring } = learn(changesOf(presses, unit.inputOf), three(), {
      pads: 3,
      full,
      decided: true,
    });
    for (const pad of [0, 1, 2]) expect(wiring?.[unit.inputOf(pad)]).toBe(pad);
  });
});

describe('7-bit wires that tell all readings', () => {
  it('are learned, also where the board begins to send long after we began to listen', () => {
    const scale = (scans: readonly Scan[], after: number): Scan[] =>
      scans.map(({ t, inputs, raws, type }) => ({
        type,
        t: t + after,
        inputs,
        raws: raws.map((raw) => Math.min(127, raw >> 6)),
      }));
    // Spans of 16 to 31 of 127, rests of 31 to 62.
    const unit = wireUnit({
      pads: 20,
      seed: 5,
      span: [1_000, 2_000],
      sigma: [5, 20],
      hum: [0, 30],
    });
    const kind = { pads: 20, full: 127, decided: false };
    const scans = unit.scans(inTurn(LIVE.order, 1_500), 11);
    expect(learn(scale(scans, 0), LIVE, kind).wiring).toEqual(unit.wiring);
    const silence: Scan = { type: 'scan', t: 0, inputs: [], raws: [] };
    const late = learn([silence, ...scale(scans, 4_000_000)], LIVE, kind);
    expect(late.wiring).toEqual(unit.wiring);
  });
});

describe('the table', () => {
  it('has an answer to every signal in every state, and a way out of all but the ends', () => {
    const states = Object.keys(WIRE_TABLE);
    const signals = Object.keys(WIRE_TABLE.asking).sort();
    for (const [state, row] of Object.entries(WIRE_TABLE)) {
      expect(Object.keys(row).sort()).toEqual(signals);
      const leaves = Object.values(row).some(({ to }) => to !== state);
      expect(leaves).toBe(state !== 'kept' && state !== 'left');
      for (const { to } of Object.values(row)) expect([...states, 'next']).toContain(to);
    }
  });
});
