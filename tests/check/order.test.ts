import { describe, expect, it } from 'vitest';
import { checkUnit } from '../../src/check/check.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import { BASS } from '../support/bass.js';
import { rewritten, STRAIGHT, takeOf, touchedAt, touching, UNIT, withSwapped } from './takes.js';

const PRINTED = printedOrder(BASS);

const exchanges = (scans: ReturnType<typeof takeOf>) => checkUnit(scans, UNIT).check.exchanges;

/** Rounds of touches, one after the other. */
const rounds = (...orders: (readonly number[])[]) => takeOf(touching(orders.flat()));

describe('the printed order', () => {
  it('is string by string, from the nut, then the pluck', () => {
    expect(PRINTED.slice(0, 6)).toEqual([0, 4, 8, 12, 16, 1]);
    expect([...PRINTED].sort((a, b) => a - b)).toEqual(STRAIGHT);
  });

  it('tells nothing where all answer in turn', () => {
    expect(exchanges(takeOf())).toEqual([]);
  });

  it('names two wires that changed places', () => {
    const scans = rewritten(takeOf(), withSwapped(4, 13));
    expect(exchanges(scans)).toEqual([{ touched: [4, 13], answered: [13, 4] }]);
  });

  it('names two pairs, and three that went round', () => {
    let scans = rewritten(takeOf(), withSwapped(0, 19));
    scans = rewritten(scans, withSwapped(5, 9));
    expect(exchanges(scans).map(({ touched }) => touched)).toEqual([
      [0, 19],
      [5, 9],
    ]);
    scans = rewritten(rewritten(takeOf(), withSwapped(0, 1)), withSwapped(1, 2));
    expect(exchanges(scans)).toHaveLength(1);
    expect(exchanges(scans)[0]!.touched).toHaveLength(3);
  });

  it('still tells with a dead pad between', () => {
    const order = PRINTED.filter((pad) => pad !== 1);
    const scans = rewritten(takeOf(touching(order)), withSwapped(4, 13));
    expect(exchanges(scans)).toEqual([{ touched: [4, 13], answered: [13, 4] }]);
  });

  it('wants both rounds to agree where the pads were touched twice', () => {
    const slip = [4, 0, ...PRINTED.slice(2)];
    expect(exchanges(rounds(slip, slip))).toHaveLength(1);
    expect(exchanges(rounds(slip, PRINTED))).toEqual([]);
    expect(exchanges(takeOf(touching(PRINTED.flatMap((pad) => [pad, pad]))))).toEqual([]);
  });

  it('says nothing of any other order', () => {
    expect(exchanges(takeOf(touching(STRAIGHT)))).toEqual([]);
    expect(exchanges(takeOf(touching([...PRINTED].reverse())))).toEqual([]);
    // One pad left out and touched at the end: all after it answer one place early.
    expect(exchanges(takeOf(touching([...PRINTED.slice(0, 2), ...PRINTED.slice(3), 8])))).toEqual(
      [],
    );
  });

  it('says nothing of too few pads', () => {
    expect(exchanges(takeOf(touching([4, 0, 8, 12, 16])))).toEqual([]);
  });
});

describe('a wire on an input that nothing is wired to', () => {
  /** Pad 8's wire sits on input 21; inputs 20 and 21 are read but not wired. */
  function moved(): ReturnType<typeof takeOf> {
    const scans = takeOf(touching(PRINTED));
    return scans.map((scan) => ({
      ...scan,
      inputs: [...scan.inputs, 20, 21],
      raws: [...scan.raws.map((raw, i) => (i === 8 ? 1_003 : raw)), 700, scan.raws[8]!],
    }));
  }

  it('is named with the pad whose turn it was', () => {
    const { check } = checkUnit(moved(), UNIT);
    expect(check.elsewhere).toEqual([{ pad: 8, input: 21 }]);
    expect(check.spare).toEqual([
      { input: 20, touches: 0 },
      { input: 21, touches: 1 },
    ]);
    expect(check.pads[8]!.verdicts).toEqual([{ kind: 'dead', why: 'elsewhere', grade: 'mend' }]);
  });

  it('is not guessed at where two neighbouring pads are silent', () => {
    const scans = moved().map((scan) => ({
      ...scan,
      raws: scan.raws.map((raw, i) => (i === 4 && scan.t < touchedAt(2) ? 1_001 : raw)),
    }));
    expect(checkUnit(scans, UNIT).check.elsewhere).toEqual([]);
  });
});
