import { describe, expect, it } from 'vitest';
import { demoReadings, demoTune } from '../../src/takes/demo.js';
import { rerun } from '../../src/takes/rerun.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { BASS, bassPlan } from '../support/bass.js';

function play(): VoiceEvent[] {
  const heard: VoiceEvent[] = [];
  rerun(demoReadings(BASS, 20), bassPlan(), (_seat, _t, error) => {
    throw error as Error;
  }).subscribe((event) => heard.push(event));
  return heard;
}

describe('the demo', () => {
  it('plays its tune through the whole way, uncalibrated: every note, in order, in time', () => {
    const ons = play().filter((event) => event.type === 'on');
    const tune = demoTune();
    expect(ons.map(({ note }) => note)).toEqual(tune.map(({ note }) => note));
    const late = ons.map(({ t }, i) => t - (1_000_000 + (tune[i]!.beat * 1_000_000) / 1.8));
    // The finger lands within 8 ms, scans are 4 ms apart, and one more reading is waited for.
    for (const micros of late) {
      expect(micros).toBeGreaterThan(0);
      expect(micros).toBeLessThanOrEqual(16_000);
    }
  });

  it('stays within the bass: E1 to B2', () => {
    for (const { note } of demoTune()) {
      expect(note).toBeGreaterThanOrEqual(28);
      expect(note).toBeLessThanOrEqual(47);
    }
  });

  it('is the same each time', () => {
    expect(play()).toEqual(play());
  });
});
