import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { Kind } from '../../src/instrument/types.js';
import type { How } from '../../src/playing/note.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { seededNumbers } from '../../src/demo/gestures.js';
import { SECOND } from '../../src/time/micros.js';
import { seatSound } from './seat-sound.js';

const KINDS: readonly Kind[] = ['strings', 'keys', 'holes', 'hits'];
const SOUND: Readonly<Record<Kind, number>> = { strings: 34, keys: 1, holes: 75, hits: 1 };
const HOW: Readonly<Record<Kind, How>> = {
  strings: 'pluck',
  keys: 'press',
  holes: 'blow',
  hits: 'hit',
};
/** Kick, snare, closed hat, open hat, tom, crash: General MIDI percussion keys. */
const DRUMS = [36, 38, 42, 46, 45, 49];

/** Seats of all kinds in turn, spread from left to right. */
export function classOf(seats: number, level = 1): SeatSound[] {
  return Array.from({ length: seats }, (_, i) => {
    const kind = KINDS[i % KINDS.length]!;
    const pan = seats === 1 ? 0 : (2 * i) / (seats - 1) - 1;
    return seatSound({ name: `seat ${String(i + 1)}`, kind, sound: SOUND[kind], level, pan });
  });
}

/**
 * All seats at once: four notes a second each, all at the same instants or each in its own time.
 *
 * @param velocity 1 to 127, of every note
 */
export function playTogether(
  seats: readonly SeatSound[],
  options: { seconds: number; velocity: number; inStep: boolean; seed?: number },
): VoiceEvent[] {
  const { seconds, velocity, inStep, seed = 3 } = options;
  const random = seededNumbers(seed);
  const pick = (below: number): number => Math.floor(random() * below);
  const events: VoiceEvent[] = [];
  let voice = 0;
  for (const [seat, { kind }] of seats.entries()) {
    for (let beat = 0; beat < 4 * seconds; beat++) {
      const at = (beat / 4 + (inStep ? 0 : 0.2 * random())) * SECOND;
      const string = pick(4);
      const pitch = kind === 'strings' ? 28 + 5 * string + pick(5) : 60 + pick(13);
      const note = kind === 'hits' ? DRUMS[pick(DRUMS.length)]! : pitch;
      const one = { voice: ++voice, seat, note, string };
      const how = HOW[kind];
      const strength = velocity / 127;
      events.push(
        { ...one, type: 'on', t: Math.round(at), velocity, strength, fret: 0, how },
        { ...one, type: 'off', t: Math.round(at + 0.22 * SECOND), slurred: false },
      );
    }
  }
  return events.sort((a, b) => a.t - b.t);
}
