import { oscEncoder, type Ahead } from '../../engine/osc.js';
import type { SeatSound } from '../../engine/seat-sound.js';
import type { OscMessages } from '../../instrument/types.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Clock } from '../../time/clock.js';
import type { Micros } from '../../time/micros.js';
import type { Engine, Tell } from '../contracts.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { oscSink } from './sink.js';
import { wallClock } from './wall-clock.js';

export interface OscEngineOptions {
  /** By slot; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  readonly host: string;
  readonly port: number;
  readonly messages: OscMessages;
  /** The lead of the time tags of bundles; null: plain messages. */
  readonly ahead: Micros | null;
  /** The live clock that the events are stamped with, on `timers`. */
  readonly clock: Clock;
  readonly tell: Tell;
  readonly timers?: Timers;
}

/**
 * An OSC receiver as an engine. It is silenced as it is found and when it is back: it may still sound what
 * a program sent that was ended without a word, or whose last packets did not reach it.
 *
 * @throws TemplateError for a message template that cannot be read
 */
export function oscEngine(options: OscEngineOptions): Engine {
  const { seats, host, port, messages, clock, tell, timers = nodeTimers } = options;
  const toUnix = wallClock({ now: () => timers.now(), date: () => Date.now() });
  const ahead: Ahead | null = options.ahead === null ? null : { by: options.ahead, toUnix };
  const encoder = oscEncoder({ seats, messages, ahead });
  let state = encoder.begin();
  const sink = oscSink({ host, port, tell, timers, opening });

  function step(event: VoiceEvent): readonly Uint8Array[] {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    return outcome.out.map(({ packet }) => packet);
  }

  function send(event: VoiceEvent): void {
    for (const packet of step(event)) sink.send(packet);
  }

  function opening(): readonly Uint8Array[] {
    // A receiver that has been started again knows nothing of the seats either.
    state.told.clear();
    return step({ type: 'silence', t: clock.stamp() });
  }

  return {
    name: `OSC ${host}:${String(port)}`,
    send,
    async close() {
      send({ type: 'silence', t: clock.stamp() });
      await sink.close();
    },
  };
}
