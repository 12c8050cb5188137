import { renderOffline, type OfflineOptions } from '../../../src/engine/builtin/offline.js';
import type { How } from '../../../src/playing/note.js';
import type { SeatSound } from '../../../src/engine/seat-sound.js';
import type { Mix, VoiceEvent, VoiceOff, VoiceOn } from '../../../src/room/voice.js';
import { seatSound } from '../../support/seat-sound.js';

export const RATE = 48_000;
export const SEATS: readonly SeatSound[] = [
  seatSound({ name: 'north', sound: 34, level: 1, strings: 4 }),
  seatSound({ name: 'south', sound: 26, level: 0.5, strings: 4 }),
];

export function on(over: Partial<VoiceOn> = {}): VoiceOn {
  return {
    type: 'on',
    t: 0,
    voice: 1,
    seat: 0,
    note: 33,
    velocity: 100,
    strength: 0.7,
    string: 0,
    fret: 0,
    how: 'pluck' as How,
    ...over,
  };
}

export function off(over: Partial<VoiceOff> = {}): VoiceOff {
  return {
    type: 'off',
    t: 0,
    voice: 1,
    seat: 0,
    note: 33,
    string: 0,
    slurred: false,
    ...over,
  };
}

/** One seat of each kind, in the order strings, keys, holes, hits. */
export const ROOM: readonly SeatSound[] = [
  seatSound({ name: 'bass', kind: 'strings', sound: 34 }),
  seatSound({ name: 'keys', kind: 'keys', sound: 1, strings: 1 }),
  seatSound({ name: 'pipe', kind: 'holes', sound: 75, strings: 1 }),
  seatSound({ name: 'drums', kind: 'hits', sound: 1, strings: 1 }),
];

export function mix(over: Partial<Mix> = {}): Mix {
  return { type: 'mix', t: 0, seat: 0, level: 1, pan: 0, sound: 34, lead: false, ...over };
}

/** Both channels of a whole rendering. */
export function renderedBoth(
  events: Iterable<VoiceEvent>,
  seconds: number,
  over: Partial<OfflineOptions> = {},
): { left: Float32Array; right: Float32Array } {
  const options = { sampleRate: RATE, seed: 1, seats: SEATS, tailSeconds: seconds, ...over };
  const chunks = [...renderOffline(events, options)];
  return {
    left: joined(chunks.map(({ left }) => left)),
    right: joined(chunks.map(({ right }) => right)),
  };
}

/** The left channel of a whole rendering. */
export function rendered(
  events: Iterable<VoiceEvent>,
  seconds: number,
  over: Partial<OfflineOptions> = {},
): Float32Array {
  return renderedBoth(events, seconds, over).left;
}

function joined(parts: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** The largest step from a sample to the next. */
export function steepest(samples: Float32Array): number {
  let most = 0;
  for (let i = 1; i < samples.length; i++) {
    most = Math.max(most, Math.abs(samples[i]! - samples[i - 1]!));
  }
  return most;
}

/**
 * The square law of velocity over 60 dB: [velocity, dB]. R. B. Dannenberg, "The Interpretation of MIDI
 * Velocity", ICMC 2006 (figures computed from the formula there).
 */
export const LAW: readonly (readonly [velocity: number, level: number])[] = [
  [1, -60],
  [32, -22.75],
  [64, -11.5],
  [96, -4.73],
  [127, 0],
];

export const db = (ratio: number): number => 20 * Math.log10(ratio);

export function peak(samples: Float32Array): number {
  return samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
}

export function rms(samples: Float32Array): number {
  return Math.sqrt(samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length);
}

/** Amplitude and phase of one frequency, through a Hann window; the phase is that at sample 0. */
export function partial(
  samples: Float32Array,
  from: number,
  length: number,
  frequency: number,
): { size: number; phase: number } {
  let re = 0;
  let im = 0;
  for (let i = 0; i < length; i++) {
    const w = samples[from + i]! * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length));
    const turn = (2 * Math.PI * frequency * (from + i)) / RATE;
    re += w * Math.cos(turn);
    im -= w * Math.sin(turn);
  }
  return { size: (4 * Math.hypot(re, im)) / length, phase: Math.atan2(im, re) };
}

/** How many cents the fundamental is off `frequency`, from its phase's drift over two periods. */
export function centsOff(samples: Float32Array, from: number, frequency: number): number {
  const length = Math.round((24 * RATE) / frequency);
  const hop = Math.round((2 * RATE) / frequency);
  const a = partial(samples, from, length, frequency).phase;
  const b = partial(samples, from + hop, length, frequency).phase;
  const drift = Math.atan2(Math.sin(b - a), Math.cos(b - a));
  return 1200 * Math.log2(1 + (drift * RATE) / (2 * Math.PI * hop * frequency));
}

/** The spectral centroid in Hz of the partials of `frequency` up to 8 kHz. */
export function centroid(samples: Float32Array, frequency: number): number {
  let sum = 0;
  let weighted = 0;
  for (let k = 1; k * frequency < 8_000; k++) {
    const { size } = partial(samples, 0, samples.length, k * frequency);
    sum += size;
    weighted += size * k * frequency;
  }
  return weighted / sum;
}
