import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { padCount, printedOrder } from '../../../src/instrument/instrument-pads.js';
import type { Instrument } from '../../../src/instrument/types.js';
import { draw } from '../../../src/page/browser/drawing/draw.js';
import {
  padAt,
  padBeside,
  strengthAt,
  type Box,
  type PadShape,
} from '../../../src/page/browser/drawing/shapes.js';
import { shipped } from '../../support/kinds.js';

const SHIPPED = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'pipe-8-finger', 'drums-6'];

/** Any instrument that a file can hold, with pads in any order. */
const anyInstrument: fc.Arbitrary<Instrument> = fc.oneof(
  fc
    .array(fc.record({ open: fc.integer({ min: 20, max: 90 }), frets: fc.nat(24) }), {
      minLength: 1,
      maxLength: 12,
    })
    .map((strings): Instrument => {
      let pad = 0;
      return {
        name: 'any',
        kind: 'strings',
        sound: 1,
        strings: strings.map(({ open, frets }) => ({
          open,
          frets: Array.from({ length: frets }, () => pad++),
          pluck: pad++,
        })),
      };
    }),
  fc
    .array(fc.integer({ min: 0, max: 127 }), { minLength: 1, maxLength: 128 })
    .map((notes): Instrument => {
      const keys = notes.map((note, pad) => ({ note, pad }));
      return { name: 'any', kind: 'keys', sound: 1, keys };
    }),
  fc.tuple(fc.integer({ min: 1, max: 12 }), fc.boolean()).map(([count, mouth]): Instrument => {
    const holes = Array.from({ length: count }, (_, pad) => pad);
    const fingerings = [{ note: 72, holes: holes.map(() => 'closed' as const) }];
    return {
      name: 'any',
      kind: 'holes',
      sound: 1,
      holes,
      mouth: mouth ? count : null,
      fingerings,
    };
  }),
  fc.integer({ min: 1, max: 47 }).map((count): Instrument => {
    const hits = Array.from({ length: count }, (_, pad) => ({ drum: 35 + pad, pad }));
    return { name: 'any', kind: 'hits', sound: 1, hits };
  }),
);

const TINY = 1e-9;
const within = (box: Box, height: number): boolean =>
  box.x >= -TINY &&
  box.y >= -TINY &&
  box.x + box.width <= 1 + TINY &&
  box.y + box.height <= height + TINY;
const overlap = (a: Box, b: Box): boolean =>
  a.x + a.width > b.x + TINY &&
  b.x + b.width > a.x + TINY &&
  a.y + a.height > b.y + TINY &&
  b.y + b.height > a.y + TINY;
const middle = ({ x, y, width, height }: Box): [number, number] => [x + width / 2, y + height / 2];

/** Where a finger would go to touch a pad: for a white key, below the black ones. */
const touchPlace = (pad: PadShape): [number, number] =>
  pad.role === 'key' ? [pad.x + pad.width / 2, pad.y + pad.height * 0.9] : middle(pad);

describe('a drawing', () => {
  it.each(SHIPPED)('of %s has each pad once, in the order in which it is printed', (name) => {
    const instrument = shipped(name);
    expect(draw(instrument).pads.map(({ pad }) => pad)).toEqual(printedOrder(instrument));
  });

  it('keeps every pad of any instrument in its box, with a size, and off the others', () => {
    fc.assert(
      fc.property(anyInstrument, (instrument) => {
        const { pads, height, places } = draw(instrument);
        expect(pads).toHaveLength(padCount(instrument));
        for (const pad of pads) {
          expect(pad.width, 'width').toBeGreaterThan(0);
          expect(pad.height, 'height').toBeGreaterThan(0);
          expect(within(pad, height), JSON.stringify(pad)).toBe(true);
        }
        for (const { sign } of places) expect(within(sign, height)).toBe(true);
        const flat = pads.filter(({ role }) => role !== 'black-key');
        flat.forEach((pad, i) => {
          for (const other of flat.slice(i + 1)) {
            expect(overlap(pad, other), JSON.stringify([pad, other])).toBe(false);
          }
        });
      }),
    );
  });

  it('finds the pad under a finger in its middle, whatever lies around it', () => {
    fc.assert(
      fc.property(anyInstrument, (instrument) => {
        const drawing = draw(instrument);
        for (const pad of drawing.pads) {
          expect(padAt(drawing, ...touchPlace(pad))?.pad).toBe(pad.pad);
        }
      }),
    );
  });

  it('finds none beside the instrument', () => {
    expect(padAt(draw(shipped('bass-4x4')), 0.01, 0.1)).toBeNull();
  });

  it('has frets closer and closer together, by the semitone', () => {
    // A fret board: each distance from the bridge is the 12th root of 2 shorter (facts: 17.817 rule).
    const frets = draw(shipped('ukulele-4x6')).pads.filter(
      ({ role, place }) => role === 'fret' && place === 0,
    );
    const widths = frets.map(({ reach }) => reach.width);
    for (let i = 1; i < widths.length; i++) {
      expect(widths[i]! / widths[i - 1]!).toBeCloseTo(2 ** (-1 / 12), 9);
    }
  });

  it('puts the black keys of an octave between the white ones', () => {
    const { pads } = draw(shipped('keys-13'));
    const at = (note: number): PadShape => pads.find((pad) => pad.note === note)!;
    const [white] = [at(60), at(62)].map((pad) => pad.reach.x + pad.reach.width);
    expect(at(61).role).toBe('black-key');
    expect(middle(at(61))[0]).toBeCloseTo(white!, 9);
    expect(at(61).height).toBeLessThan(at(60).height);
    expect(pads.filter(({ role }) => role === 'black-key')).toHaveLength(5);
  });

  it('lays keys out side by side where black ones could not lie between', () => {
    const keys = [61, 63, 66].map((note, pad) => ({ note, pad }));
    const { pads } = draw({ name: 'three', kind: 'keys', sound: 1, keys });
    expect(pads.map(({ role }) => role)).toEqual(['key', 'key', 'key']);
  });
});

describe('the strength of a touch by its place', () => {
  it('is full in the middle, least at the rim, and never outside that', () => {
    fc.assert(
      fc.property(
        anyInstrument,
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (instrument, x, y) => {
          const { pads, height } = draw(instrument);
          for (const pad of pads) {
            const strength = strengthAt(pad, x, y * height);
            expect(strength).toBeGreaterThanOrEqual(0.35 - TINY);
            expect(strength).toBeLessThanOrEqual(1);
            expect(strengthAt(pad, ...middle(pad))).toBeCloseTo(1, 9);
            const [, across] = middle(pad);
            expect(strengthAt(pad, pad.x, across)).toBeCloseTo(0.35, 9);
          }
        },
      ),
    );
  });
});

describe('the arrow keys', () => {
  it('go along a string, and from string to string', () => {
    const drawing = draw(shipped('bass-4x4'));
    const first = drawing.pads[0]!;
    expect(padBeside(drawing, first, [1, 0])).toMatchObject({ place: 0, nth: 2 });
    expect(padBeside(drawing, first, [0, 1])).toMatchObject({ place: 1, nth: 1 });
    expect(padBeside(drawing, first, [-1, 0])).toBeNull();
    expect(padBeside(drawing, first, [0, -1])).toBeNull();
  });

  it.each(SHIPPED)('reach every pad of %s', (name) => {
    const drawing = draw(shipped(name));
    const reached = new Set([drawing.pads[0]!]);
    for (const pad of reached) {
      for (const way of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ] as const) {
        const next = padBeside(drawing, pad, way);
        if (next) reached.add(next);
      }
    }
    expect(reached.size).toBe(drawing.pads.length);
  });
});
