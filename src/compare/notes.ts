import type { How } from '../playing/note.js';
import type { VoiceEvent } from '../room/voice.js';
import type { Micros } from '../time/micros.js';
import type { ListedNote } from '../takes/read-notes.js';

/** A note of a take that was run again, whole: nothing of it is unknown. */
export interface PlayedNote extends ListedNote {
  readonly offset: Micros;
  readonly velocity: number;
  readonly strength: number;
  readonly string: number;
  readonly fret: number;
  readonly how: How;
  /** Names the note among those of its own run. */
  readonly voice: number;
}

/**
 * The notes among what engines are told, in the order of their onsets. A run ends with a reset that
 * ends every note; one that is still on all the same is taken to end with the last event.
 */
export function playedNotes(events: readonly VoiceEvent[]): PlayedNote[] {
  const last = events.at(-1)?.t ?? 0;
  const ends = new Map<number, Micros>();
  for (const event of events) if (event.type === 'off') ends.set(event.voice, event.t);
  return events.flatMap((event) => {
    if (event.type !== 'on') return [];
    const { t, voice, note, velocity, strength, string, fret, how } = event;
    const offset = ends.get(voice) ?? last;
    return [{ onset: t, offset, note, velocity, strength, string, fret, how, voice }];
  });
}
