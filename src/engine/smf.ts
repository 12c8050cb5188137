import type { VoiceEvent } from '../room/voice.js';
import type { Micros } from '../time/micros.js';
import type { Channels } from './channels.js';
import type { MidiBytes } from './midi-bytes.js';
import { midiEncoder, type MidiEncoder, type MidiOut } from './midi.js';
import type { SeatSound } from './seat-sound.js';
import { chunk, meta, track, type TrackEvent } from './smf-bytes.js';

/** 120 crotchets a minute and 1000 ticks a crotchet: nothing to do with any beat that was played. */
const TEMPO: Micros = 500_000;
const DIVISION = 1_000;

/** One tick of the file. Times are rounded to the nearest, so they are off by half of it at most. */
export const TICK: Micros = TEMPO / DIVISION;

/**
 * Writes what was played as a Standard MIDI File 1.0, format 1: a track with the tempo, then one for
 * each seat, named after it. Seats that share a channel share a track too, since the order of events
 * at one time holds within a track only. The bytes are those that a MIDI port would be sent.
 *
 * @param events in the order of time, from 0 on; what they leave sounding ends with the last of them
 * @param options.channels one channel a seat if left out
 */
export function standardMidiFile(
  events: Iterable<VoiceEvent>,
  options: { readonly seats: readonly SeatSound[]; readonly channels?: Channels },
): Uint8Array<ArrayBuffer> {
  const { seats, channels = 'seat' } = options;
  const encoder = midiEncoder({ seats, channels });
  const { tracks, trackOf } = layTracks(encoder, seats);

  const put = (t: Micros, bytes: MidiBytes): void => {
    trackOf(bytes).push({ tick: Math.round(t / TICK), bytes });
  };
  for (const bytes of encoder.opening) put(0, bytes);
  const { outs, end } = encode(encoder, events);
  for (const { t, bytes } of outs) put(t, bytes);
  for (const bytes of encoder.closing) put(end, bytes);

  const micros = [TEMPO >> 16, (TEMPO >> 8) & 255, TEMPO & 255];
  const tempo = track([{ tick: 0, bytes: meta(0x51, micros) }]);
  const header = [0, 1, 0, tracks.length + 1, DIVISION >> 8, DIVISION & 255];
  const chunks = [chunk('MThd', header), chunk('MTrk', tempo)];
  for (const own of tracks) chunks.push(chunk('MTrk', track(own)));
  return join(chunks);
}

function encode(
  encoder: MidiEncoder,
  events: Iterable<VoiceEvent>,
): { outs: MidiOut[]; end: Micros } {
  const outs: MidiOut[] = [];
  const open = new Set<number>();
  let state = encoder.begin();
  let end: Micros = 0;
  function feed(event: VoiceEvent): void {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    outs.push(...outcome.out);
  }
  for (const event of events) {
    feed(event);
    end = event.t;
    if (event.type === 'on') open.add(event.voice);
    else if (event.type === 'off') open.delete(event.voice);
    else if (event.type === 'silence') open.clear();
  }
  if (open.size > 0) feed({ type: 'silence', t: end });
  return { outs, end };
}

/** One track for the seats of each group that has channels in common. */
function layTracks(
  { plan }: MidiEncoder,
  seats: readonly SeatSound[],
): { tracks: TrackEvent[][]; trackOf: (bytes: MidiBytes) => TrackEvent[] } {
  const byChannel = new Map<number, TrackEvent[]>();
  const byLeader = new Map<number, TrackEvent[]>();
  const leaders = new Map<TrackEvent[], Set<number>>();
  for (const { channel, seats: sharers } of plan.used) {
    const own = byLeader.get(sharers[0]!) ?? [];
    byLeader.set(sharers[0]!, own);
    byChannel.set(channel, own);
    leaders.set(own, new Set([...(leaders.get(own) ?? []), ...sharers]));
  }
  for (const [own, members] of leaders) {
    const name = [...members].map((seat) => seats[seat]!.name).join(', ');
    own.push({ tick: 0, bytes: meta(0x03, new TextEncoder().encode(name)) });
  }
  const inOrder = [...byLeader].sort(([a], [b]) => a - b).map(([, own]) => own);
  return { tracks: inOrder, trackOf: (bytes) => byChannel.get(bytes[0]! & 15)! };
}

function join(chunks: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(chunks.reduce((size, { length }) => size + length, 0));
  let at = 0;
  for (const one of chunks) {
    whole.set(one, at);
    at += one.length;
  }
  return whole;
}
