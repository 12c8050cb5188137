import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { padNames } from '../../../../src/instrument/pad-names.js';
import {
  layerFor,
  levelAt,
  levelOf,
  pyramidOf,
} from '../../../../src/page/browser/take/desk/pyramid.js';
import { namesOfPads, placeNames, placeOfNote } from '../../../../src/page/browser/take/names.js';
import { boxAt, boxesOf } from '../../../../src/page/browser/take/time/boxes.js';
import { layoutOf, rowAt } from '../../../../src/page/browser/take/time/rows.js';
import {
  broughtTo,
  CLOSEST,
  endOf,
  moved,
  showing,
  tickSeconds,
  within,
  zoomed,
} from '../../../../src/page/browser/take/time/span.js';
import { en } from '../../../../src/page/browser/texts/en.js';
import { loadInstrument } from '../../../../src/ports/files/files.js';
import { placesOf, placeWords } from '../../../../src/compare/places.js';
import { numberDifferences } from '../../../../src/compare/run.js';
import { compareTake } from '../../../commands/compare-hands.js';
import { bytesOf, CASES, deskWith, file, PLAYED, untold } from './desk-hands.js';

const INSTRUMENTS = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'drums-6'];

describe('levels at any zoom', () => {
  const curve = fc
    .array(
      fc.tuple(
        fc.integer({ min: 1, max: 60_000 }),
        fc.double({ min: -0.1, max: 1.1, noNaN: true }),
        fc.nat(9),
      ),
      {
        minLength: 1,
        maxLength: 60,
      },
    )
    .map((steps) => {
      let t = 0;
      const times = steps.map(([by]) => (t += by));
      return { times, levels: steps.map(([, level, chance]) => (chance === 0 ? NaN : level)) };
    });

  it('are between the least and the highest of their step, in every layer', () => {
    fc.assert(
      fc.property(curve, fc.double({ min: 0, max: 1, noNaN: true }), ({ times, levels }, share) => {
        const length = times.at(-1)!;
        const pyramid = pyramidOf({ times, levels }, length);
        const t = share * length;
        const level = levelAt(pyramid, t);
        if (level === null) return;
        for (const { step, least, most } of pyramid.layers) {
          const at = Math.floor(t / step);
          // A byte is a 253rd of 1.2.
          expect(levelOf(least[at]!)).toBeLessThanOrEqual(level + 0.0025);
          expect(levelOf(most[at]!)).toBeGreaterThanOrEqual(level - 0.0025);
        }
      }),
    );
  });

  it('reach what the curve reaches in each step and no more', () => {
    const times = [0, 10_000, 11_000, 12_000, 100_000];
    const pyramid = pyramidOf({ times, levels: [0, 0, 1, 0, 0] }, 100_000);
    const [finest] = pyramid.layers;
    expect(finest!.step).toBe(4_000);
    // The peak lies in the third step, from 8 to 12 ms, and nowhere else.
    const reached = Array.from(finest!.most, levelOf);
    expect(reached).toHaveLength(26);
    reached.forEach((level, i) => {
      expect(level).toBeCloseTo(i === 2 ? 1 : 0, 2);
    });
  });

  it('stay within memory for a take of hours, and are drawn from their points when near', () => {
    const hours = 3 * 3600 * 1_000_000;
    const pyramid = pyramidOf({ times: [0, hours], levels: [0, 1] }, hours);
    expect(pyramid.layers[0]!.least.length).toBeLessThanOrEqual(65_537);
    expect(layerFor(pyramid, 1_000)).toBeNull();
    expect(layerFor(pyramid, hours / 1_000)!.step).toBeLessThanOrEqual(hours / 1_000);
  });
});

describe('what is shown', () => {
  const LENGTH = 120_000_000;
  const span = { from: 10_000_000, to: 14_000_000 };

  it('zooms around a place that stays, and never out of the take', () => {
    const near = zoomed(span, 2, 11_000_000, LENGTH);
    expect(near).toEqual({ from: 10_500_000, to: 12_500_000 });
    expect(zoomed(near, 0.5, 11_000_000, LENGTH)).toEqual(span);
    expect(zoomed(span, 1e-9, 12_000_000, LENGTH)).toEqual({ from: 0, to: endOf(LENGTH) });
    expect(zoomed(span, 1e9, 12_000_000, LENGTH).to).toBeCloseTo(12_000_000 + CLOSEST / 2, 0);
  });

  it('stays within the take whatever is asked', () => {
    const number = fc.double({ min: -1e9, max: 1e9, noNaN: true });
    fc.assert(
      fc.property(number, number, fc.integer({ min: 0, max: 1e9 }), (from, long, length) => {
        const { from: begin, to } = within({ from, to: from + long }, length);
        expect(begin).toBeGreaterThanOrEqual(0);
        expect(to).toBeLessThanOrEqual(endOf(length) + 1e-3);
        expect(to - begin).toBeGreaterThanOrEqual(CLOSEST - 1e-3);
      }),
    );
  });

  it('scrolls, follows the line and goes to a difference', () => {
    expect(moved(span, 0.5, LENGTH)).toEqual({ from: 12_000_000, to: 16_000_000 });
    expect(moved(span, -9, LENGTH).from).toBe(0);
    expect(showing(span, 12_000_000, LENGTH)).toBe(span);
    expect(showing(span, 15_000_000, LENGTH)).toEqual({ from: 11_200_000, to: 15_200_000 });
    expect(broughtTo(span, 50_000_000, LENGTH)).toEqual({ from: 48_800_000, to: 52_800_000 });
  });

  it('has marks that leave room for their words', () => {
    expect(tickSeconds(span, 1_000, 72)).toBe(0.5);
    expect(tickSeconds({ from: 0, to: LENGTH }, 250, 72)).toBe(60);
  });
});

describe('rows', () => {
  it.each(INSTRUMENTS)('of %s are named as messages name pads and places', async (name) => {
    const instrument = await loadInstrument(name, CASES);
    expect(namesOfPads(instrument, en)).toEqual(padNames(instrument));
    expect(placeNames(instrument, en)).toEqual(placesOf(instrument).map((place) => place.name));
  });

  it('hold every pad once, and each place’s notes under its own pads', async () => {
    const { desk } = await deskWith(bytesOf(compareTake()));
    const result = await desk.compare({ seat: 0, a: PLAYED, b: file('legato') }, untold);
    const { instrument, notes } = result;
    const names = {
      pads: namesOfPads(instrument, en),
      places: placeNames(instrument, en),
      sides: { a: 'A', b: 'B', wanted: 'wanted' },
    };
    const layout = layoutOf(result, names, 16);
    const pads = layout.rows.filter(({ kind }) => kind === 'pad').map(({ pad }) => pad!);
    expect([...pads].sort((a, b) => a - b)).toEqual(Array.from({ length: 20 }, (_, pad) => pad));
    layout.rows.forEach((row, i) => {
      expect(rowAt(layout, row.top + row.height / 2)).toBe(i);
      const next = layout.rows[i + 1];
      if (next) expect(next.top).toBeGreaterThanOrEqual(row.top + row.height);
    });

    const boxes = boxesOf(result, numberDifferences(notes), 4);
    const rowOf = (kind: 'a' | 'b', place: number) =>
      layout.rows.find((one) => one.kind === kind && one.place === place)!;
    expect(notes.some(({ a }) => a === null)).toBe(true);
    for (const one of notes) {
      for (const side of ['a', 'b'] as const) {
        const note = one[side] ?? (one.a ?? one.b)!;
        const box = boxAt(boxes, rowOf(side, note.string), note.onset)!;
        expect(box.look === 'gap').toBe(one[side] === null);
        if (one[side]) {
          expect(box).toMatchObject({ from: note.onset, to: note.offset, pitch: note.note });
          expect(placeOfNote(note, instrument, en)).toBe(placeWords(note, instrument));
        }
      }
    }
  });
});
