import { describe, expect, it } from 'vitest';
import { checkUnit } from '../../src/check/check.js';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { always, rewritten, takeOf, touching, UNIT, withDrift, withNoise } from './takes.js';

const check = (scans: readonly Scan[], numbered = false) =>
  checkUnit(scans, { ...UNIT, numbered }).check;

describe('the order of findings', () => {
  it('puts first what must be fixed and spoils most notes', () => {
    const order = printedOrder(BASS).filter((pad) => pad !== 17 && pad !== 4);
    const scans = [
      withDrift([9], 10),
      withNoise([10], 140),
      always(4, 0),
      withNoise([4], 1),
    ].reduce(rewritten, takeOf(touching(order)));
    // A dead pluck costs a string, a stuck fret one note, a noisy one a part of its note.
    expect(check(scans).findings.map(({ kind, pads }) => [kind, ...pads])).toEqual([
      ['dead', 17],
      ['stuck', 4],
      ['noisy', 10],
      ['drifting', 9],
    ]);
  });

  it('tells of lost, late, slow and uneven scans', () => {
    const scans = takeOf();
    const kinds = (list: readonly Scan[], numbered = false) =>
      check(list, numbered).findings.map(({ kind }) => kind);
    const some = scans.filter((_, k) => k % 50 !== 0);
    // Only a wire that numbers its messages knows that they were lost.
    expect(kinds(some, true)).toEqual(['lost']);
    expect(kinds(some)).toEqual(['late']);
    expect(kinds(scans.filter((_, k) => k % 200 !== 0))).toEqual([]);
    expect(kinds(scans.filter((_, k) => k % 4 === 0))).toEqual(['slow']);
    expect(kinds(scans.map((scan, k) => ({ ...scan, t: scan.t + (k % 2) * 3_500 })))).toEqual([
      'uneven',
    ]);
  });
});
