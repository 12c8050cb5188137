import type { VoiceEvent } from '../room/voice.js';
import type { Micros } from '../time/micros.js';
import type { Channels } from './channels.js';
import type { MidiBytes } from './midi-bytes.js';
import { midiEncoder, type MidiEncoder } from './midi.js';
import type { SeatSound } from './seat-sound.js';
import { chunk, meta, track, type TrackEvent } from './smf-bytes.js';

/** 120 crotchets a minute and 1000 ticks a crotchet: nothing to do with any beat that was played. */
const TEMPO: Micros = 500_000;
const DIVISION = 1_000;

/** One tick of the file. Times are rounded to the nearest, so they are off by half of it at most. */
export const TICK: Micros = TEMPO / DIVISION;

/**
 * Writes what was played as a Standard MIDI File 1.0, format 1: a track with the tempo, then one for
 * each seat, named after it. Seats that share a channel, at once or one after another, share a track too,
 * since the order of events at one time holds within a track only. The bytes are those that a MIDI port
 * would be sent.
 *
 * @param events in the order of time, from 0 on; what they leave sounding ends with the last of them
 * @param options.seats by slot as it begins; null where nobody plays
 * @param options.channels one channel a seat if left out
 */
export function standardMidiFile(
  events: Iterable<VoiceEvent>,
  options: { readonly seats: readonly (SeatSound | null)[]; readonly channels?: Channels },
): Uint8Array<ArrayBuffer> {
  const { seats, channels = 'seat' } = options;
  const encoder = midiEncoder({ seats, channels });
  const tracks = new Tracks();
  const used = [...encoder.plan.used].sort((a, b) => a.seats[0]! - b.seats[0]!);
  for (const { channel, seats: sharers } of used) {
    for (const seat of sharers) {
      tracks.seat(seats[seat]!.name, [channel, ...encoder.plan.seats[seat]!.strings]);
    }
  }
  for (const bytes of encoder.opening) tracks.put(0, bytes);
  encode(encoder, events, tracks);

  const micros = [TEMPO >> 16, (TEMPO >> 8) & 255, TEMPO & 255];
  const tempo = track([{ tick: 0, bytes: meta(0x51, micros) }]);
  const all = tracks.named();
  const header = [0, 1, 0, all.length + 1, DIVISION >> 8, DIVISION & 255];
  const chunks = [chunk('MThd', header), chunk('MTrk', tempo)];
  for (const own of all) chunks.push(chunk('MTrk', track(own)));
  return join(chunks);
}

function encode(encoder: MidiEncoder, events: Iterable<VoiceEvent>, tracks: Tracks): void {
  const open = new Set<number>();
  let state = encoder.begin();
  let end: Micros = 0;
  function feed(event: VoiceEvent): void {
    const outcome = encoder.step(state, event);
    state = outcome.state;
    if (event.type === 'joined') {
      tracks.seat(event.sound.name, state.mix.seats[event.seat]!.channels);
    }
    for (const { t, bytes } of outcome.out) tracks.put(t, bytes);
  }
  for (const event of events) {
    feed(event);
    end = event.t;
    if (event.type === 'on') open.add(event.voice);
    else if (event.type === 'off') open.delete(event.voice);
    else if (event.type === 'silence') open.clear();
  }
  if (open.size > 0) feed({ type: 'silence', t: end });
  for (const bytes of encoder.closing(state)) tracks.put(end, bytes);
}

interface Track {
  readonly names: Set<string>;
  readonly events: TrackEvent[];
}

/** The tracks of seats, in the order in which they came. */
class Tracks {
  private readonly all: Track[] = [];
  private readonly byChannel = new Map<number, Track>();

  /** A seat plays on these channels from now on. */
  seat(name: string, channels: readonly number[]): void {
    let own = channels.map((channel) => this.byChannel.get(channel)).find((one) => one);
    if (!own) {
      own = { names: new Set(), events: [] };
      this.all.push(own);
    }
    own.names.add(name);
    for (const channel of channels) {
      if (!this.byChannel.has(channel)) this.byChannel.set(channel, own);
    }
  }

  put(t: Micros, bytes: MidiBytes): void {
    this.byChannel.get(bytes[0]! & 15)!.events.push({ tick: Math.round(t / TICK), bytes });
  }

  /** Each with its name in front. */
  named(): TrackEvent[][] {
    return this.all.map(({ names, events }) => {
      const text = new TextEncoder().encode([...names].join(', '));
      return [{ tick: 0, bytes: meta(0x03, text) }, ...events];
    });
  }
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
