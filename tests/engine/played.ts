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

/*
 * The square law of velocity with a range of 60 dB (Dannenberg, ICMC 2006; facts of the project):
 * a = (m·v + b)², b = 127/(126·√r) − 1/126, m = (1 − b)/127, r = 10^(60/20).
 */
const B = 127 / (126 * Math.sqrt(1_000)) - 1 / 126;
const M = (1 - B) / 127;

/** The velocity whose amplitude is `factor` times that of `velocity`, solved for v; 1 at the least. */
export function softened(velocity: number, factor: number): number {
  return Math.max(1, Math.round(((M * velocity + B) * Math.sqrt(factor) - B) / M));
}

/**
 * The notes as they were played, without the encoder: one a voice, open ones up to the last event.
 * Sounds do not change. On a shared channel the loudest seat's velocity passes, the others' are softer.
 */
export function playedNotes(
  seats: readonly SeatSound[],
  channels: Channels,
  events: readonly VoiceEvent[],
): FileNote[] {
  const plan = planChannels(seats, channels);
  const tick = (t: number): number => Math.round(t / TICK);
  const levels = seats.map(({ level }) => level);
  const channelOf = (seat: number, string: number): number => {
    const { strings } = plan.seats[seat]!;
    return strings[string] ?? strings[0]!;
  };
  return events.flatMap((on) => {
    if (on.type === 'mix') levels[on.seat] = on.level;
    if (on.type !== 'on') return [];
    const channel = channelOf(on.seat, on.string);
    const sharers = plan.used.find((used) => used.channel === channel)!.seats;
    const loudest = Math.max(...sharers.map((seat) => levels[seat]!));
    const factor = loudest === 0 ? 1 : levels[on.seat]! / loudest;
    const off = events.find((event) => event.type === 'off' && event.voice === on.voice);
    return {
      channel,
      note: on.note,
      velocity: softened(on.velocity, factor),
      begin: tick(on.t),
      end: tick((off ?? events.at(-1)!).t),
    };
  });
}

/** A note's beginning, for lists that are compared whatever their order. */
export const onset = ({ channel, note, velocity, begin }: FileNote): string =>
  [channel, note, velocity, begin].join(' ');
