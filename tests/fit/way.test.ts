import { describe, expect, it } from 'vitest';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { padCount } from '../../src/instrument/instrument.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { demoReadings } from '../../src/demo/demo.js';
import { playedBy, touchesOf } from '../../src/fit/way.js';
import { rerun } from '../../src/takes/rerun.js';
import { randomStart } from '../sim/fit-draws.js';
import { ownBuild } from '../sim/measuring.js';
import { OTHERS } from '../sim/others.js';
import { simulate } from '../sim/session.js';
import { randomTune } from '../sim/tune.js';
import { BASS } from '../support/bass.js';
import { planOf, shipped } from '../support/kinds.js';

const RULES: readonly Rules[] = [
  PLAIN,
  { ...PLAIN, strength: { readings: 5, within: 100_000 } },
  { ...PLAIN, voices: { most: 2, keep: 'lowest' } },
  ...[1, 2, 3, 4, 5].map(randomStart),
];

function whole(scans: Parameters<typeof touchesOf>[0], plan: ReturnType<typeof planOf>) {
  const events: VoiceEvent[] = [];
  rerun(scans, plan, (_seat, _t, error) => {
    throw error;
  }).subscribe((event) => events.push(event));
  return events;
}

describe('the way in two halves', () => {
  it.each(['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'pipe-8-finger', 'drums-6'])(
    'plays the demo on %s as running it again does, by whatever rules',
    (name) => {
      const instrument = shipped(name);
      const scans = [...demoReadings(instrument, padCount(instrument), 5)];
      for (const rules of RULES) {
        const plan = planOf(instrument, rules);
        const events = playedBy(touchesOf(scans, plan, rules), plan, rules);
        expect(events.length).toBeGreaterThan(0);
        expect(events).toEqual(whole(scans, plan));
      }
    },
  );

  // The strength of some plucks is told later here than their late frets are waited for: that was a
  // wake-up in the past once, which ended the seat's notes.
  it('plays what a person does who is not careful, on a calibrated unit', () => {
    const session = simulate({ grade: 'worst', seed: 7, ...OTHERS.mix }, randomTune(1, BASS, 120));
    const { build } = ownBuild(session);
    for (const rules of [...RULES, { ...PLAIN, strength: { readings: 3, within: 24_000 } }]) {
      const plan = planOf(BASS, rules, build);
      const events = playedBy(touchesOf(session.take.scans, plan, rules), plan, rules);
      expect(events.length).toBeGreaterThan(0);
      expect(events).toEqual(whole(session.take.scans, plan));
    }
  });
});
