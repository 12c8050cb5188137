import { describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import type { Ceiling, Loudness } from '../../src/engine/builtin/output.js';
import { classOf, playTogether } from '../support/loud-class.js';
import { ebur128OfWav, type Heard } from './ebur128.js';

/* Thirty-two seats of all kinds as hard as they can, and what Debian's ffmpeg hears of the WAV. */

const SEATS = classOf(32);

function played(
  ceiling: Ceiling,
  inStep: boolean,
  seconds = 10,
): { theirs: Heard; ours: Loudness } {
  const events = playTogether(SEATS, { seconds, velocity: 127, inStep });
  let ours: Loudness | undefined;
  const wav = renderWav(events, {
    sampleRate: 48_000,
    seed: 1,
    seats: SEATS,
    tailSeconds: 0.5,
    ceiling,
    onLoudness: (loudness) => (ours = loudness),
  });
  return { theirs: ebur128OfWav(wav), ours: ours! };
}

describe('a room of 32 seats, all at full strength', () => {
  it.each([
    ['in step', -1, true],
    ['each in its own time', -1, false],
    ['in step', -6, true],
  ])('%s, never passes a true peak of %f dBTP, and comes near it', (_, peak, inStep) => {
    const { theirs, ours } = played({ peak, loudness: null }, inStep);
    expect(theirs.truePeak).toBeLessThanOrEqual(peak);
    expect(ours.truePeak).toBeLessThanOrEqual(peak);
    expect(theirs.truePeak).toBeGreaterThan(peak - 0.5);
    expect(ours.mostLimiting).toBeGreaterThan(3);
  });

  it.each([
    [-16, true],
    [-16, false],
    [-23, true],
    [-23, false],
  ])('keeps any three seconds at or below %f LUFS (in step: %s)', (loudness, inStep) => {
    const open = played({ peak: -1, loudness: null }, inStep);
    expect(open.theirs.shortTerm).toBeGreaterThan(-12);
    const { theirs, ours } = played({ peak: -1, loudness }, inStep);
    expect(theirs.shortTerm).toBeLessThanOrEqual(loudness);
    expect(theirs.truePeak).toBeLessThanOrEqual(-1);
    expect(Math.abs(theirs.integrated - ours.integrated)).toBeLessThanOrEqual(0.1);
    // Not much quieter than it has to be either.
    expect(theirs.shortTerm).toBeGreaterThan(loudness - 3);
  });
});
