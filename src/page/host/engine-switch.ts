import type { Engine } from '../../ports/contracts.js';
import type { VoiceOn } from '../../room/voice.js';
import type { Clock } from '../../time/clock.js';

/** An engine that can be turned off while the room plays. */
export interface SwitchedEngine extends Engine {
  readonly on: boolean;
  /** Off: ends what it sounds, and gives it no more notes; it still learns how the seats are mixed. */
  turn(on: boolean): void;
}

/** @param slots those in which somebody plays now */
export function switched(
  engine: Engine,
  slots: () => Iterable<number>,
  clock: Clock,
): SwitchedEngine {
  /** What the engine itself was told of and has not ended yet. */
  const sounding = new Map<number, VoiceOn>();
  let on = true;

  function end(): void {
    const t = clock.stamp();
    for (const { voice, seat, note, string } of [...sounding.values()]) {
      engine.send({ type: 'off', t, voice, seat, note, string, slurred: false });
    }
    sounding.clear();
    engine.send({ type: 'silence', t });
    // An engine that hands readings on has not heard of voices.
    for (const seat of slots()) {
      engine.reading?.({ type: 'seated', t, seat, event: { type: 'reset', t, why: 'silence' } });
    }
  }

  return {
    name: engine.name,
    get on() {
      return on;
    },
    turn(wanted) {
      if (wanted === on) return;
      on = wanted;
      if (!on) end();
    },
    send(event) {
      if (event.type === 'on') {
        if (!on) return;
        sounding.set(event.voice, event);
      } else if (event.type === 'off' && !sounding.delete(event.voice)) return;
      engine.send(event);
    },
    ...(engine.reading && {
      reading: (event) => {
        if (on || event.event.type === 'reset') engine.reading?.(event);
      },
    }),
    ...(engine.loudness && { loudness: () => engine.loudness?.() ?? null }),
    close: () => engine.close(),
  };
}
