import { describe, expect, it } from 'vitest';
import { printedOrder } from '../../../../src/instrument/instrument-pads.js';
import type { Build } from '../../../../src/instrument/types.js';
import { shipped } from '../../../support/kinds.js';
import { guided, SEAT, type Guided } from './guided.js';

const bass = shipped('bass-4x4');
const order = printedOrder(bass);
const last = order.at(-1)!;

function begun(making = {}): Guided {
  const one = guided(bass, making);
  one.wait(200);
  expect(one.begin('calibrate')).toBe(null);
  one.wait(1_000);
  return one;
}

function expectTrue(one: Guided, build: Build | undefined, pads: readonly number[]): void {
  for (const pad of pads) {
    const found = build?.pads[pad];
    expect(found, `pad ${String(pad)}`).not.toBe(null);
    expect(Math.abs(found!.rest - one.unit.rest[pad]!)).toBeLessThan(3);
    expect(Math.abs(found!.span / (0.965 * one.unit.span[pad]!) - 1)).toBeLessThan(0.04);
  }
}

describe('the guide through calibration', () => {
  it.each(['bass-4x4', 'keys-13', 'pipe-8', 'drums-6'])(
    'learns every pad of %s, touched in any order',
    (name) => {
      const instrument = shipped(name);
      const one = guided(instrument);
      one.begin('calibrate');
      expect(one.shown).toMatchObject({ guide: 'calibrate', phase: 'letting-go', asked: null });
      one.wait(1_000);
      const backwards = printedOrder(instrument).reverse();
      expect(one.shown).toMatchObject({ phase: 'touching', asked: backwards.at(-1) });
      for (const pad of backwards) one.tap(pad);
      expect(one.shown).toMatchObject({ done: backwards, asked: null });
      one.wait(4_000);
      expect(one.builds).toHaveLength(1);
      expectTrue(one, one.builds[0], backwards);
      expect(one.builds[0]?.wiring).toEqual(one.unit.wiring);
      expect(one.shown).toMatchObject({ phase: 'saving', unfit: [] });
      one.guides.built(SEAT, { file: 'builds/north.json' });
      expect(one.shown?.words).toMatch(/^\d+ of \d+ pads are fit\.$/);
    },
  );

  it('keeps the wiring that the unit has', () => {
    const wires = guided(bass, { wires: 'mixed' }).unit.wiring;
    const build = { wiring: wires, pads: order.map(() => null) };
    const one = begun({ wires: 'mixed', build });
    for (const pad of order) one.tap(pad);
    one.wait(4_000);
    expect(one.builds[0]?.wiring).toEqual(wires);
    expectTrue(one, one.builds[0], order);
  });

  it('does the last pad again where that is taken back: a touch that was too soft counts no more', () => {
    const one = begun();
    for (const pad of order.slice(0, -1)) one.tap(pad);
    one.tap(last, 0);
    expect(one.do('undo')).toBe(null);
    expect(one.shown).toMatchObject({ asked: last, done: order.slice(0, -1) });
    one.wait(10_000);
    expect(one.builds).toEqual([]);
    one.tap(last);
    one.wait(4_000);
    expectTrue(one, one.builds[0], order);
  });

  it('leaves a pad out, whose old calibration stays', () => {
    const old = { rest: 1, span: 2, noise: 3, coupling: [] };
    const build = { wiring: order.map((_, i) => i), pads: order.map(() => old) };
    const one = begun({ build });
    expect(one.do('skip')).toBe(null);
    expect(one.shown).toMatchObject({ asked: order[1], done: [order[0]] });
    for (const pad of order.slice(1)) one.tap(pad);
    one.wait(4_000);
    expect(one.builds[0]?.pads[order[0]!]).toEqual(old);
    expectTrue(one, one.builds[0], order.slice(1));
    expect(one.shown?.unfit).toEqual([
      {
        pad: order[0],
        what: 'it was left out, so its old calibration stays',
        next: 'Calibrate again to learn it.',
      },
    ]);
  });

  it('keeps what is done so far, and nothing before', () => {
    const one = begun();
    expect(one.do('keep')).toMatch(/nothing to keep/);
    expect(one.do('undo')).toMatch(/nothing to take back/);
    for (const pad of order.slice(0, 4)) one.tap(pad);
    expect(one.do('keep')).toBe(null);
    expectTrue(one, one.builds[0], order.slice(0, 4));
    expect(one.builds[0]?.pads.filter((pad) => pad !== null)).toHaveLength(4);
  });

  it('says what is wrong: two pads at once, the same pad twice, a pulled cable', () => {
    const one = begun();
    one.press(order[0]!, 0.7);
    one.press(order[7]!, 0.7);
    one.wait(300);
    one.release(order[0]!);
    one.release(order[7]!);
    one.wait(300);
    expect(one.shown?.words).toMatch(/^D2 fret 3 and G2 fret 1 moved at once: touch one pad alone/);
    one.tap(order[0]!);
    expect(one.shown?.words).toMatch(/^1 of 20 pads touched; still to touch: G2 fret 2, /);
    one.tap(order[0]!);
    expect(one.shown?.words).toMatch(/^G2 fret 1 was touched already\. Touch G2 fret 2, or any/);
    one.plug(false);
    expect(one.shown).toMatchObject({ phase: 'letting-go', done: [order[0]] });
    one.wait(1_000);
    one.plug(true);
    one.wait(1_000);
    for (const pad of order.slice(1)) one.tap(pad);
    one.wait(4_000);
    expectTrue(one, one.builds[0], order);
  });

  it('names a weak pad, and one whose touch never ends', () => {
    const weak = order[3]!;
    const change = (unit: Guided['unit']): Guided['unit'] => ({
      ...unit,
      sigma: unit.sigma.map((sigma, pad) => (pad === weak ? 22 : sigma)),
    });
    const one = begun({ change });
    one.tap(order[1]!);
    one.press(order[0]!, 0.7);
    one.wait(5_500);
    expect(one.shown?.words).toMatch(/^G2 fret 1 stays touched: let go of all pads/);
    one.release(order[0]!);
    one.wait(500);
    for (const pad of order) one.tap(pad);
    one.wait(4_000);
    expect(one.shown?.unfit.map(({ pad }) => pad)).toEqual([weak]);
    expect(one.shown?.unfit[0]?.what).toMatch(/a touch is only \d\.\d times its noise/);
  });

  it('says that a wire has no pad', () => {
    const wiring = order.map((_, i) => (i === 7 ? null : i));
    const one = begun({ build: { wiring, pads: order.map(() => null) } });
    one.tap(7);
    expect(one.shown?.words).toMatch(/^Input 7 moved, but no pad is wired to it/);
    expect(one.shown?.done).toEqual([]);
  });
});
