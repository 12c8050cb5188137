import { describe, expect, it } from 'vitest';
import type { VoiceOn } from '../../src/room/voice.js';
import { demoReadings } from '../../src/demo/demo.js';
import { rerun } from '../../src/takes/rerun.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { BASS, PLAIN } from '../support/bass.js';
import { checkScore } from './check-score.js';
import { simulate, type SimSession } from './session.js';
import { mean } from './statistics.js';
import { TUNES } from './tunes.js';

/*
 * A unit that is calibrated as it starts begins with low guesses of its spans, on which any touch is the
 * hardest. MIDI 1.0 (p10): velocity 64 where the sender is not velocity-sensitive.
 */
function uncalibrated(events: Iterable<WireEvent>): VoiceOn[] {
  const pads = { pads: 20, build: null, full: 16_383, decided: false };
  const notes: VoiceOn[] = [];
  rerun(events, { instrument: BASS, rules: PLAIN, pads }, (_seat, _t, error) => {
    throw error;
  }).subscribe((event) => {
    if (event.type === 'on') notes.push(event);
  });
  return notes;
}

/** Input n is pad n, as on a unit without a build. */
const sessions = (): SimSession[] =>
  TUNES.flatMap((tune) =>
    [1, 2].map((seed) => simulate({ grade: 'clean', seed, unit: { straight: true } }, tune)),
  );

describe('the first notes of a unit that is calibrated as it starts', { timeout: 120_000 }, () => {
  const played = sessions().map(({ take, wanted }) => {
    const notes = uncalibrated(take.scans);
    return checkScore(wanted, notes).pairs.map(([i, j]) => ({
      velocity: notes[j]!.velocity,
      strength: wanted[i]!.strength,
    }));
  });
  const nth = (n: number): number[] => played.map((notes) => notes[n]!.velocity);

  it('sound at a middle strength', () => {
    for (const velocity of nth(0)) expect(velocity).toBe(64);
    for (const velocity of nth(1)) expect(velocity).toBeLessThan(85);
  });

  it('move over to their own strengths without a jump', () => {
    const means = Array.from({ length: 24 }, (_, n) => mean(nth(n)));
    for (const value of means) expect(Math.abs(value - 72)).toBeLessThan(18);
    const loudness = (from: number, to: number): number =>
      mean(played.flatMap((notes) => notes.slice(from, to).map(({ velocity }) => velocity)));
    expect(Math.abs(loudness(0, 6) - loudness(12, 30))).toBeLessThan(6);
  });

  it('tell soft from hard once their pads are known', () => {
    const late = played.flatMap((notes) => notes.slice(12));
    const of = (least: number, most: number): number =>
      mean(
        late
          .filter(({ strength }) => strength >= least && strength < most)
          .map(({ velocity }) => velocity),
      );
    expect(of(0.85, 1) - of(0.4, 0.6)).toBeGreaterThan(25);
  });

  it('do so in the demo that starts without any device', () => {
    const [first, ...others] = uncalibrated(demoReadings(BASS, 20, 1));
    expect(first!.velocity).toBe(64);
    expect(others.length).toBeGreaterThan(8);
    for (const { velocity } of others.slice(0, 4)) expect(velocity).toBeLessThan(90);
  });
});
