import { describe, expect, it } from 'vitest';
import { renderOffline } from '../../../src/engine/builtin/offline.js';
import { way } from '../../../src/pipeline.js';
import { plainRoom } from '../../../src/room/plan.js';
import type { VoiceEvent } from '../../../src/room/voice.js';
import { demoReadings } from '../../../src/demo/demo.js';
import { seededNumbers } from '../../../src/demo/gestures.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { BASS, bassPlan, PLAIN, withStrings } from '../../support/bass.js';
import { runStage } from '../../support/run-stage.js';
import { seatSound } from '../../support/seat-sound.js';

const SEED = 25;
const SWAPS = 200;
const RATE = 48_000;
/** Ten milliseconds, the longest gap that the issue of live rules allows. */
const GAP = RATE / 100;

/** The demo's player, while the rules are changed to and fro. */
function* played(): Generator<Seated<WireEvent>> {
  const readings = [...demoReadings(BASS, 20)];
  const random = seededNumbers(SEED);
  const last = readings.at(-1)!.t;
  const times = Array.from({ length: SWAPS }, () => Math.floor(random() * last));
  times.sort((a, b) => a - b);
  const sets = [PLAIN, withStrings({ slide: true, 'hammer-on': true, ring: 3_000_000 })];
  let done = 0;
  for (const scan of readings) {
    for (; done < SWAPS && times[done]! <= scan.t; done++) {
      const t = times[done]!;
      yield { type: 'seated', t, seat: 0, event: { type: 'swap', t, rules: sets[done % 2]! } };
    }
    yield { type: 'seated', t: scan.t, seat: 0, event: scan };
  }
}

function samplesOf(events: readonly VoiceEvent[]): Float32Array {
  const chunks = [
    ...renderOffline(events, { sampleRate: RATE, seed: 1, seats: [seatSound()], tailSeconds: 0.2 }),
  ].map(({ left }) => left);
  const all = new Float32Array(chunks.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}

describe(`rules changed ${String(SWAPS)} times while the engine plays (seed ${String(SEED)})`, () => {
  const events = runStage(
    way([bassPlan()], plainRoom(1), (_seat, _t, error) => {
      throw error;
    }),
    played(),
  );
  const samples = samplesOf(events);

  it('no note has a gap of 10 ms in the sound, from its beginning to its end', () => {
    const gaps: [number, number][] = [];
    let notes = 0;
    for (const on of events) {
      if (on.type !== 'on') continue;
      const off = events.find((one) => one.type === 'off' && one.voice === on.voice);
      notes += 1;
      expect(off, `note ${String(on.voice)} ends`).toBeDefined();
      const first = Math.ceil((on.t * RATE) / 1e6) + GAP;
      const end = Math.floor((off!.t * RATE) / 1e6);
      for (let i = first; i + GAP <= end; i += GAP / 2) {
        const most = samples
          .subarray(i, i + GAP)
          .reduce((peak, x) => Math.max(peak, Math.abs(x)), 0);
        // −60 dB below full scale; the softest note that sounds here peaks near −30 dB.
        if (most < 0.001) gaps.push([on.voice, i / RATE]);
      }
    }
    expect(notes).toBeGreaterThan(25);
    expect(gaps).toEqual([]);
  });
});
