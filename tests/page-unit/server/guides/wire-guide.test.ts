import { describe, expect, it } from 'vitest';
import { printedOrder } from '../../../../src/instrument/instrument-pads.js';
import { seatWay } from '../../../../src/pipeline.js';
import { PLAIN } from '../../../../src/instrument/rules.js';
import { planOf, shipped } from '../../../support/kinds.js';
import { runStage } from '../../../support/run-stage.js';
import { playedScans } from '../../../support/screen-player.js';
import { guided, SEAT, type Guided } from './guided.js';

const MIXED = { wires: 'mixed', name: 'mixed' } as const;
const bass = shipped('bass-4x4');
const order = printedOrder(bass);

/** Begins to wire a unit, and lets it be learned at rest. */
function begun(making = {}): Guided {
  const one = guided(bass, { ...MIXED, ...making });
  one.wait(200);
  expect(one.begin('wire')).toBe(null);
  one.wait(1_000);
  return one;
}

describe('the guide through wiring', () => {
  it.each(['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'drums-6'])(
    'finds which wire of a mixed %s is which pad, and calibrates it by the way',
    (name) => {
      const instrument = shipped(name);
      const one = guided(instrument, MIXED);
      expect(one.begin('wire')).toBe(null);
      expect(one.shown).toMatchObject({ guide: 'wire', seat: SEAT, phase: 'letting-go' });
      expect(one.guides.needs).toEqual([SEAT]);
      one.wait(1_000);
      const printed = printedOrder(instrument);
      printed.forEach((pad, i) => {
        expect(one.shown).toMatchObject({ phase: 'touching', asked: pad, order: printed });
        expect(one.shown?.done).toEqual(printed.slice(0, i));
        one.tap(pad);
      });
      expect(one.builds).toEqual([]);
      one.wait(4_000);
      expect(one.shown).toMatchObject({ phase: 'saving', unfit: [] });
      expect(one.guides.needs).toEqual([]);
      const [build] = one.builds;
      expect(build?.wiring).toEqual(one.unit.wiring);
      build?.pads.forEach((pad, i) => {
        expect(Math.abs(pad!.rest - one.unit.rest[i]!)).toBeLessThan(3);
        // A press of 0.7 is at 0.965 of a full touch: 0.3 for the softest up to 1.25 for the hardest.
        expect(Math.abs(pad!.span / (0.965 * one.unit.span[i]!) - 1)).toBeLessThan(0.04);
      });
      one.guides.built(SEAT, { file: 'builds/north.json' });
      expect(one.shown).toMatchObject({ phase: 'done', file: 'builds/north.json' });
    },
  );

  it('makes a build by which every pad plays', () => {
    const instrument = shipped('keys-13');
    if (instrument.kind !== 'keys') throw new Error('keys-13 has no keys');
    const one = guided(instrument, MIXED);
    one.begin('wire');
    one.wait(1_000);
    for (const pad of printedOrder(instrument)) one.tap(pad);
    one.wait(4_000);
    const scans = playedScans(
      instrument,
      (player) => {
        for (const { pad } of instrument.keys) player.tap(pad);
      },
      MIXED,
    );
    const out = runStage(seatWay(planOf(instrument, PLAIN, one.builds[0]!)), scans);
    const notes = out.flatMap((event) => (event.type === 'on' ? [event.note] : []));
    expect(notes).toEqual(instrument.keys.map(({ note }) => note));
  });

  it('takes a mistake back, and leaves a dead pad out', () => {
    const dead = order[4]!;
    const one = begun({
      change: (unit: Guided['unit']) => ({
        ...unit,
        span: unit.span.map((span, pad) => (pad === dead ? 0 : span)),
      }),
    });
    one.tap(order[0]!);
    one.tap(order[9]!);
    expect(one.shown?.done).toEqual([order[0], order[1]]);
    expect(one.do('undo')).toBe(null);
    expect(one.shown).toMatchObject({ asked: order[1], done: [order[0]] });
    for (const pad of order.slice(1, 4)) one.tap(pad);
    one.tap(dead);
    expect(one.shown?.asked).toBe(dead);
    expect(one.do('skip')).toBe(null);
    for (const pad of order.slice(5)) one.tap(pad);
    one.wait(4_000);
    const wiring = one.unit.wiring.map((pad) => (pad === dead ? null : pad));
    expect(one.builds[0]?.wiring).toEqual(wiring);
    expect(one.builds[0]?.pads[dead]).toBe(null);
    expect(one.shown?.unfit.map(({ pad }) => pad)).toEqual([dead]);
  });

  it('ends with what is done so far where that is to be kept', () => {
    const one = begun();
    expect(one.do('keep')).toMatch(/nothing to keep/);
    for (const pad of order.slice(0, 3)) one.tap(pad);
    expect(one.do('keep')).toBe(null);
    const wired = one.builds[0]?.wiring.filter((pad) => pad !== null);
    expect(wired?.sort((a, b) => a! - b!)).toEqual(order.slice(0, 3).sort((a, b) => a - b));
    expect(one.shown?.unfit).toHaveLength(17);
  });

  it('writes nothing where it is ended, and lets go of the seat', () => {
    const one = begun();
    one.tap(order[0]!);
    expect(one.do('end')).toBe(null);
    expect(one.shown).toBe(null);
    expect(one.guides.needs).toEqual([]);
    one.wait(5_000);
    expect(one.builds).toEqual([]);
    expect(one.do('undo')).toMatch(/No steps are on/);
  });

  it('says what is wrong: two pads at once, the same pad twice, nothing for a minute', () => {
    const one = begun();
    one.press(order[0]!, 0.7);
    one.press(order[7]!, 0.7);
    one.wait(200);
    one.release(order[0]!);
    one.release(order[7]!);
    one.wait(300);
    expect(one.shown?.words).toMatch(/moved at once: touch one pad alone/);
    expect(one.shown?.done).toEqual([]);
    one.tap(order[0]!);
    one.tap(order[0]!);
    expect(one.shown?.words).toMatch(/already G2 fret 1: touch the next one, or press Undo/);
    expect(one.shown?.done).toEqual([order[0]]);
    one.wait(61_000);
    expect(one.shown?.words).toMatch(/^Nothing has been touched for a minute\. .*press Skip/);
    one.tap(order[1]!);
    expect(one.shown?.words).not.toMatch(/minute/);
    one.wait(301_000);
    expect(one.shown).toMatchObject({ phase: 'failed' });
    expect(one.shown?.words).toMatch(/five minutes, so nothing was written/);
    expect(one.builds).toEqual([]);
  });

  it('waits where the unit is pulled out, and goes on with what it has', () => {
    const one = begun();
    for (const pad of order.slice(0, 5)) one.tap(pad);
    one.press(order[5]!, 0.7);
    one.wait(100);
    one.plug(false);
    expect(one.shown).toMatchObject({ phase: 'letting-go', done: order.slice(0, 5) });
    expect(one.shown?.words).toMatch(/went away; what was learned so far is kept in mind/);
    expect(one.do('skip')).toMatch(/Let go/);
    one.release(order[5]!);
    one.wait(6_000);
    expect(one.shown?.words).toMatch(/No readings come/);
    one.plug(true);
    one.wait(1_000);
    expect(one.shown).toMatchObject({ phase: 'touching', asked: order[5] });
    for (const pad of order.slice(5)) one.tap(pad);
    one.wait(4_000);
    expect(one.builds[0]?.wiring).toEqual(one.unit.wiring);
    expect(one.shown?.unfit).toEqual([]);
  });

  it('goes on where readings were lost on their way', () => {
    const one = begun();
    one.press(order[0]!, 0.7);
    one.wait(100);
    one.guides.gap(SEAT, one.now);
    one.wait(100);
    one.release(order[0]!);
    one.wait(400);
    for (const pad of order.slice(one.shown!.done.length)) one.tap(pad);
    one.wait(4_000);
    expect(one.builds[0]?.wiring).toEqual(one.unit.wiring);
  });

  it('ends by itself, with nothing written, where every page has gone away', () => {
    const one = begun();
    for (const pad of order.slice(0, 3)) one.tap(pad);
    one.guides.looked(false, one.now);
    one.wait(5_000);
    one.guides.looked(true, one.now);
    one.wait(40_000);
    expect(one.shown?.phase).toBe('touching');
    one.guides.looked(false, one.now);
    one.wait(31_000);
    expect(one.shown).toBe(null);
    expect(one.builds).toEqual([]);
    expect(one.guides.needs).toEqual([]);
  });

  it('says so where the build could not be written, and when the instrument changes meanwhile', () => {
    const one = begun();
    one.tap(order[0]!);
    one.do('keep');
    expect(one.do('end')).toMatch(/being written/);
    one.guides.built(SEAT, { fault: 'the disk is full' });
    expect(one.shown).toMatchObject({ phase: 'failed' });
    expect(one.shown?.words).toMatch(/could not be written\. the disk is full/);
    expect(one.begin('wire')).toBe(null);
    one.guides.scan(SEAT, { type: 'swap', t: one.now, instrument: shipped('keys-13') });
    expect(one.shown).toMatchObject({ phase: 'failed' });
  });

  it('begins at one seat at a time, and not where there is nothing to learn', () => {
    const one = begun();
    expect(one.guides.begin(SEAT + 1, 'wire', one.seat, one.now)).toMatch(/another seat/);
    expect(one.guides.do(SEAT + 1, 'skip', one.now)).toMatch(/No steps are on/);
    const decided = { ...one.seat, pads: { ...one.seat.pads, decided: true } };
    expect(one.guides.begin(SEAT, 'calibrate', decided, one.now)).toMatch(/needs no calibration/);
    expect(one.guides.begin(SEAT, 'wire', { ...one.seat, made: true }, one.now)).toMatch(/there/);
    expect(one.shown?.phase).toBe('touching');
  });
});
