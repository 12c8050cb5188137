import { signal, type ReadonlySignal } from '@preact/signals';
import type { Window } from '../../../compare/run.js';
import type { Micros } from '../../../time/micros.js';
import type { Connection } from '../connection.js';
import { ceilingHere } from '../sound/ceiling.js';
import type { Speaker } from '../sound/contract.js';
import { levelHere } from '../sound/level-here.js';
import type { openSpeaker } from '../sound/speaker.js';
import type { Result } from './desk/messages.js';

export type Side = 'a' | 'b';

/** Plays either result on this device. */
export interface Playback {
  /** Which side is heard, and at which moment; null: none. */
  readonly heard: ReadonlySignal<{ readonly side: Side; readonly t: Micros } | null>;
  readonly opening: ReadonlySignal<boolean>;
  readonly state: ReadonlySignal<Speaker['state']['value'] | null>;
  /** Why this browser cannot sound it; null: it can, as far as is known. */
  readonly fault: ReadonlySignal<string | null>;
  /** To be called from a click or a key. */
  play(result: Result, side: Side, part: Window): Promise<void>;
  stop(): void;
  end(): void;
}

export function playbackOn(connection: Connection, open: typeof openSpeaker): Playback {
  const heard = signal<{ side: Side; t: Micros } | null>(null);
  const opening = signal(false);
  const state = signal<Speaker['state']['value'] | null>(null);
  const fault = signal<string | null>(null);
  let speaker: { made: Speaker; sound: string; close: () => void } | null = null;
  let latest = 0;

  /** null: nobody waits for it any more. */
  async function speakerFor({ sound }: Result, own: number): Promise<Speaker | null> {
    const wanted = JSON.stringify(sound);
    if (speaker?.sound === wanted && speaker.made.state.peek() !== 'failed') return speaker.made;
    speaker?.close();
    speaker = null;
    const made = await open({
      seats: [sound],
      seed: connection.seed.peek(),
      ceiling: ceilingHere(connection.state.engines.peek()),
    });
    // Somebody went away, or pressed another button, which opens a speaker of its own.
    if (own !== latest) {
      await made.close();
      return null;
    }
    const ended = made.state.subscribe((now) => (state.value = now));
    speaker = {
      made,
      sound: wanted,
      close: () => {
        ended();
        void made.close();
      },
    };
    return made;
  }

  return {
    heard,
    opening,
    state,
    fault,
    async play(result, side, { from, to }) {
      const own = ++latest;
      opening.value = true;
      fault.value = null;
      try {
        const made = await speakerFor(result, own);
        if (!made) return;
        // As where this device sounds the room: what a person chose there holds here too.
        made.setLevel(levelHere());
        if (made.state.peek() === 'held') await made.resume();
        if (own !== latest) return;
        made.play(result[side].events, {
          from,
          to,
          onPosition: (t) => {
            if (own === latest) heard.value = { side, t };
          },
          onEnd: () => {
            if (own === latest) heard.value = null;
          },
        });
      } catch (error) {
        if (own === latest) fault.value = (error as Error).message;
      } finally {
        if (own === latest) opening.value = false;
      }
    },
    stop() {
      latest += 1;
      opening.value = false;
      heard.value = null;
      speaker?.made.stop();
    },
    end() {
      latest += 1;
      speaker?.close();
      speaker = null;
    },
  };
}
