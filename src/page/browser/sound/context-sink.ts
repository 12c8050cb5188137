import type { SeatSound } from '../../../engine/seat-sound.js';
import type { SpeakerOptions } from './contract.js';
import type { Device } from './device.js';
import type { Sink } from './sink.js';

/** After so many seconds without a word from the page its renderer ends what sounds. */
const PATIENCE = 3;

/** A device behind an AudioContext, for those that have voices sound. */
export function contextSink(
  context: AudioContext,
  device: Device,
  { seed, ceiling, seats }: SpeakerOptions,
): Sink {
  let now: readonly SeatSound[] = seats;
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
      now = seats;
      device.post({ type: 'begin', seats, seed, ceiling, patience: PATIENCE });
    },
    send(events, frames) {
      device.post({ type: 'events', events, frames });
    },
    silence() {
      device.post({ type: 'silence' });
    },
  };
}
