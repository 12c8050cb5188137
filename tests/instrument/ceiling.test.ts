import { describe, expect, it } from 'vitest';
import { parseRoom } from '../../src/instrument/room.js';
import type { To } from '../../src/instrument/types.js';

const SEATS = 'seats:\n  - { name: north, instrument: bass-4x4, from: { player: demo } }\n';

function engine(to: string): To {
  return parseRoom(`${SEATS}to:\n  - ${to}\n`, 'class.yaml').to[0]!;
}

describe('a ceiling', () => {
  it.each([
    ['builtin: {}', { peak: -1, loudness: -16 }],
    ['builtin: { ceiling: {} }', { peak: -1, loudness: -16 }],
    ['builtin: { ceiling: { loudness: -23, peak: -3.5 } }', { peak: -3.5, loudness: -23 }],
    ['builtin: { ceiling: { loudness: never } }', { peak: -1, loudness: null }],
  ])('of the built-in engine is read from %s', (written, ceiling) => {
    expect(engine(written)).toMatchObject({ builtin: { ceiling } });
  });

  it.each([
    ['midi: { virtual: loop }', { velocity: 127, volume: 127 }],
    ['midi: { port: synth, ceiling: { volume: 90 } }', { velocity: 127, volume: 90 }],
  ])('of a synthesizer is read from %s', (written, ceiling) => {
    expect(engine(written)).toMatchObject({ midi: { ceiling } });
  });

  it.each([
    [
      'builtin: { ceiling: { loudness: loud } }',
      'found "loud", allowed: "never", or a number from -60 to -5',
    ],
    ['builtin: { ceiling: { loudness: 23 } }', 'found 23, allowed: a number from -60 to -5'],
    // A true peak of 0 dBTP leaves meters that look closer nothing to spare.
    ['builtin: { ceiling: { peak: 0 } }', 'found 0, allowed: a number from -40 to -0.5'],
    ['builtin: { ceiling: -20 }', 'Write it as { loudness: -20 }, say'],
    ['builtin: { ceiling: { loudnes: -20 } }', 'Did you mean "loudness"?'],
    [
      'midi: { port: synth, ceiling: { velocity: 0 } }',
      'found 0, allowed: a whole number from 1 to 127',
    ],
  ])('that cannot be, %s, is told of', (written, what) => {
    expect(() => engine(written)).toThrow(what);
  });
});
