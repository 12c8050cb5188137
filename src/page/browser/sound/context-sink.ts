import type { Ceiling } from '../../../instrument/ceiling.js';
import type { SpeakerOptions } from './contract.js';
import type { Device } from './device.js';
import { seatAfter } from './seat-after.js';
import type { Sink } from './sink.js';

/** After so many seconds without a word from the page its renderer ends what sounds. */
const PATIENCE = 3;

export interface ContextSink extends Sink {
  /** Rebuilds the voices when either changes. */
  setup(seed: number, ceiling: Ceiling): void;
}

/** A device behind an AudioContext, for those that have voices sound. */
export function contextSink(
  context: AudioContext,
  device: Device,
  options: SpeakerOptions,
): ContextSink {
  let { seed, ceiling } = options;
  let now = [...options.seats];
  const begin = (): void => {
    device.post({ type: 'begin', seats: [...now], seed, ceiling, patience: PATIENCE });
  };
  begin();
  return {
    sampleRate: context.sampleRate,
    time: () => context.currentTime * 1_000,
    now: () => performance.now(),
    ahead: () => device.ahead(),
    // Not every browser tells.
    outputDelay: () => (context.outputLatency || 0) * 1_000,
    get seats() {
      return now;
    },
    begin(seats) {
      now = [...seats];
      begin();
    },
    setup(otherSeed, otherCeiling) {
      const { peak, loudness } = otherCeiling;
      if (otherSeed === seed && peak === ceiling.peak && loudness === ceiling.loudness) return;
      seed = otherSeed;
      ceiling = otherCeiling;
      begin();
    },
    send(events, frames) {
      for (const event of events) seatAfter(now, event);
      device.post({ type: 'events', events, frames });
    },
    silence() {
      device.post({ type: 'silence' });
    },
  };
}
