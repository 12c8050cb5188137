import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatBuild, parseBuild } from '../../src/instrument/build.js';
import { misfit } from '../../src/instrument/fits.js';
import { instrumentAsWritten, parseInstrument } from '../../src/instrument/instrument.js';
import type { Build, Instrument, PadBuild } from '../../src/instrument/types.js';

const number = fc
  .double({ min: -1e6, max: 1e6, noNaN: true })
  // JSON has no -0, and neither has a reading.
  .map((one) => one + 0);

const padBuild = (pad: number, count: number): fc.Arbitrary<PadBuild> =>
  fc.record({
    rest: number,
    span: number.filter((span) => span !== 0),
    noise: number.map(Math.abs),
    coupling: fc.array(
      fc.record({
        from: fc.nat(count - 1).map((from) => (from === pad ? (from + 1) % count : from)),
        share: fc.double({ min: -1, max: 1, noNaN: true }).map((one) => one + 0),
      }),
      { maxLength: 3 },
    ),
  });

const build: fc.Arbitrary<Build> = fc.integer({ min: 2, max: 24 }).chain((count) =>
  fc.record({
    wiring: fc
      .shuffledSubarray(Array.from({ length: count }, (_, i) => i))
      .chain((pads) => fc.tuple(...pads.map((pad) => fc.option(fc.constant(pad))))),
    pads: fc.tuple(...Array.from({ length: count }, (_, pad) => fc.option(padBuild(pad, count)))),
  }),
);

const TWO: Build = {
  wiring: [1, null, 0],
  pads: [{ rest: 1180, span: 6200.5, noise: 12, coupling: [{ from: 1, share: 0.08 }] }, null],
};

describe('builds', () => {
  it('are written a line a pad', () => {
    expect(formatBuild(TWO)).toBe(`{
  "wiring": [1, null, 0],
  "pads": [
    {"rest": 1180, "span": 6200.5, "noise": 12, "coupling": [{"from": 1, "share": 0.08}]},
    null
  ]
}
`);
    expect(formatBuild({ wiring: [], pads: [] })).toBe('{\n  "wiring": [],\n  "pads": []\n}\n');
  });

  it('come back as they were, to us and to a plain JSON reader', () => {
    fc.assert(
      fc.property(build, (one) => {
        const text = formatBuild(one);
        expect(parseBuild(text, 'a.json')).toEqual(one);
        expect(JSON.parse(text)).toEqual(one);
        expect(formatBuild(parseBuild(text, 'a.json'))).toBe(text);
      }),
    );
  });

  it('are read however JSON is laid out', () => {
    expect(parseBuild(JSON.stringify(TWO), 'a.json')).toEqual(TWO);
    expect(parseBuild(JSON.stringify(TWO, null, '\t'), 'a.json')).toEqual(TWO);
    expect(parseBuild(JSON.stringify(TWO, null, 2).replace(/\n/g, '\r\n'), 'a.json')).toEqual(TWO);
  });
});

describe('a build and an instrument', () => {
  const pair: Instrument = {
    name: 'Pair',
    kind: 'strings',
    sound: 34,
    strings: [{ open: 43, frets: [0], pluck: 1 }],
  };

  it('fit with as many pads, some of them without a wire', () => {
    expect(misfit(pair, TWO)).toBeNull();
    expect(misfit(pair, { ...TWO, wiring: [0] })).toBeNull();
  });

  it('do not fit with more pads or fewer, or with a wire to a pad that is not there', () => {
    const allowed = 'a build of 2 pads, as "Pair" has';
    expect(misfit(pair, { wiring: [0], pads: [null] })).toEqual({
      found: 'a build of 1 pads',
      allowed,
    });
    expect(misfit(pair, { wiring: [], pads: [null, null, null] })).not.toBeNull();
    expect(misfit(pair, { ...TWO, wiring: [2] })).toEqual({ found: 'a wire to pad 2', allowed });
  });

  it('an instrument written into another file is read as it was', () => {
    const text = JSON.stringify(instrumentAsWritten(pair));
    expect(text).toContain('"G2"');
    expect(parseInstrument(text, 'a.json')).toEqual(pair);
  });
});
