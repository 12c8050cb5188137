import { oscEncoder, type Ahead } from '../engine/osc.js';
import type { SeatSound } from '../engine/seat-sound.js';
import type { OscMessages } from '../instrument/types.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Clock } from '../time/clock.js';
import type { Micros } from '../time/micros.js';
import type { Engine, Tell } from './contracts.js';
import { nodeTimers, type Timers } from './live-clock.js';
import { oscSink } from './osc-sink.js';
import { wallClock } from './osc-wall-clock.js';

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
 * An OSC receiver as an engine.
 *
 * @throws TemplateError for a message template that cannot be read
 */
export function oscEngine(options: OscEngineOptions): Engine {
  const { seats, host, port, messages, clock, tell, timers = nodeTimers } = options;
  const toUnix = wallClock({ now: () => timers.now(), date: () => Date.now() });
  const ahead: Ahead | null = options.ahead === null ? null : { by: options.ahead, toUnix };
  const encoder = oscEncoder({ seats, messages, ahead });
  const sink = oscSink({ host, port, tell, timers });
  let state = encoder.begin();

  function send(event: VoiceEvent): void {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    for (const { packet } of outcome.out) sink.send(packet);
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
