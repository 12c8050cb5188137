import { planChannels, type Channels } from '../../src/engine/channels.js';
import { TICK } from '../../src/engine/smf.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { VoiceEvent } from '../../src/room/voice.js';

/** A note of a file, as any reader finds it; times in ticks. */
export interface FileNote {
  readonly channel: number;
  readonly note: number;
  readonly velocity: number;
  readonly begin: number;
  readonly end: number;
}

/** When each note number sounded on each channel, as one text a stretch without a gap. */
export function stretches(notes: readonly Omit<FileNote, 'velocity'>[]): string[] {
  const byKey = new Map<string, [number, number][]>();
  for (const { channel, note, begin, end } of [...notes].sort((a, b) => a.begin - b.begin)) {
    const key = `${String(channel)}:${String(note)}`;
    const known = byKey.get(key) ?? [];
    byKey.set(key, known);
    const last = known.at(-1);
    if (last && begin <= last[1]) last[1] = Math.max(last[1], end);
    else known.push([begin, end]);
  }
  return [...byKey].flatMap(([key, known]) =>
    known.map(([a, b]) => `${key} ${String(a)}-${String(b)}`),
  );
}

/** The notes as they were played, without the encoder: one a voice, open ones up to the last event. */
export function playedNotes(
  seats: readonly SeatSound[],
  channels: Channels,
  events: readonly VoiceEvent[],
): FileNote[] {
  const plan = planChannels(seats, channels);
  const tick = (t: number): number => Math.round(t / TICK);
  return events.flatMap((on) => {
    if (on.type !== 'on') return [];
    const off = events.find((event) => event.type === 'off' && event.voice === on.voice);
    return {
      channel: plan.seats[on.seat]!.strings[on.string]!,
      ...{ note: on.note, velocity: on.velocity },
      ...{ begin: tick(on.t), end: tick((off ?? events.at(-1)!).t) },
    };
  });
}

/** A note's beginning, for lists that are compared whatever their order. */
export const onset = ({ channel, note, velocity, begin }: FileNote): string =>
  [channel, note, velocity, begin].join(' ');
