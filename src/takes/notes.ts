import type { VoiceEvent } from '../room/voice.js';

/** A note line as it stands in a notes file; `seat` only where more than one seat plays. */
export type NoteLine =
  | {
      readonly t: number;
      readonly type: 'on';
      readonly note: number;
      readonly velocity: number;
      readonly string: number;
      readonly fret: number;
      readonly voice: number;
      readonly seat?: string;
    }
  | {
      readonly t: number;
      readonly type: 'off';
      readonly note: number;
      readonly voice: number;
      readonly seat?: string;
    };

/**
 * The lines of a notes file, one after another: who joins is named too.
 *
 * @param seats their names by slot as it begins
 */
export function noteLines(seats: readonly string[]): (event: VoiceEvent) => string | null {
  const names = [...seats];
  return (event) => {
    if (event.type === 'joined') {
      while (names.length < event.seat) names.push('');
      names[event.seat] = event.sound.name;
    }
    return formatNote(event, names);
  };
}

/** One line of a notes file without its line end, or null for what is not a note. */
export function formatNote(event: VoiceEvent, seats: readonly string[]): string | null {
  if (event.type !== 'on' && event.type !== 'off') return null;
  const { t, type, note, voice } = event;
  const seat = seats.length > 1 ? { seat: seats[event.seat] ?? '' } : {};
  if (event.type === 'off') return JSON.stringify({ t, type, note, voice, ...seat });
  const { velocity, string, fret } = event;
  return JSON.stringify({ t, type, note, velocity, string, fret, voice, ...seat });
}
