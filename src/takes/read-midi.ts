import { parseMidi, type MidiData, type MidiEvent } from 'midi-file';
import type { Micros } from '../time/micros.js';
import type { ListedNote } from './read-notes.js';

/** What a Standard MIDI File holds. */
export interface MidiNotes {
  /** In the order of their onsets, as a list of notes has them. */
  readonly notes: readonly ListedNote[];
  /** So many notes of channel 10, which are percussion, were left out: there are others. */
  readonly percussion: number;
}

/** Thrown where bytes are no Standard MIDI File, or a damaged one; says where, in bytes from 0. */
export class MidiFault extends Error {
  override readonly name = 'MidiFault';
}

const HEADER_BYTES = 14;
/** Two crotchets a second, where a file does not say (Standard MIDI Files 1.0). */
const USUAL_TEMPO: Micros = 500_000;
/** Channel 10, counted from 0 (General MIDI 1). */
const PERCUSSION = 9;

/** Whether bytes begin as a Standard MIDI File does. */
export function isMidiFile(bytes: Uint8Array): boolean {
  return word(bytes, 0) === 'MThd';
}

/**
 * Reads the notes of a Standard MIDI File 1.0 of format 0 or 1, whatever tempos it has. Percussion
 * (channel 10) only counts where there is nothing else.
 *
 * @throws MidiFault
 */
export function readMidiNotes(bytes: Uint8Array): MidiNotes {
  const places = tracksIn(bytes);
  const { header, tracks } = parsed(bytes, places);
  if (header.format === 2) {
    throw new MidiFault(
      'it holds several pieces (format 2); save one of them by itself, as format 0 or 1',
    );
  }
  const time = timeOf(header, tracks);
  const all = tracks.flatMap((track) => notesOf(track, time));
  const melodic = all.filter(({ channel }) => channel !== PERCUSSION);
  const kept = melodic.length > 0 ? melodic : all;
  return {
    notes: kept.map(({ note }) => note).sort((a, b) => a.onset - b.onset),
    percussion: all.length - kept.length,
  };
}

interface Place {
  readonly begin: number;
  readonly end: number;
}

/**
 * Where each track's data is. The library reads on where a file breaks off, so this is looked at first:
 * whether all that the file promises is there.
 */
function tracksIn(bytes: Uint8Array): Place[] {
  if (!isMidiFile(bytes)) throw new MidiFault('it does not begin as a MIDI file does ("MThd")');
  if (bytes.length < HEADER_BYTES) {
    throw new MidiFault(`its header breaks off: the file ends at byte ${String(bytes.length)}`);
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const promised = view.getUint16(10);
  const tracks: Place[] = [];
  let at = 8 + view.getUint32(4);
  while (tracks.length < promised) {
    const number = String(tracks.length + 1);
    if (at + 8 > bytes.length) {
      throw new MidiFault(
        `it breaks off before track ${number} of ${String(promised)}: the file ends at byte ${String(bytes.length)}`,
      );
    }
    const kind = word(bytes, at);
    const begin = at + 8;
    const end = begin + view.getUint32(at + 4);
    if (kind !== 'MTrk')
      throw new MidiFault(`no track begins at byte ${String(at)}, where track ${number} should`);
    if (end > bytes.length) {
      throw new MidiFault(
        `track ${number} breaks off: it goes from byte ${String(begin)} to ${String(end)}, and the file ends at ${String(bytes.length)}`,
      );
    }
    tracks.push({ begin, end });
    at = end;
  }
  return tracks;
}

function word(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4));
}

function parsed(bytes: Uint8Array, places: readonly Place[]): MidiData {
  // Track by track, so that it can be said which one is damaged.
  let header: MidiData['header'] | null = null;
  const tracks = places.map(({ begin, end }, i) => {
    const alone = new Uint8Array(HEADER_BYTES + 8 + end - begin);
    alone.set(bytes.subarray(0, HEADER_BYTES));
    alone.set([0, 0, 0, 6], 4);
    alone.set([0, 1], 10);
    alone.set(bytes.subarray(begin - 8, end), HEADER_BYTES);
    let read: MidiData | null = null;
    try {
      read = parseMidi(alone);
    } catch {
      // The library throws texts without a place.
    }
    const [events] = read?.tracks ?? [];
    if (!read || !events || !events.every(isSound) || events.at(-1)?.type !== 'endOfTrack') {
      throw new MidiFault(
        `track ${String(i + 1)}, from byte ${String(begin)} to ${String(end)}, is damaged; use another copy of the file`,
      );
    }
    header ??= read.header;
    return events;
  });
  if (!header) throw new MidiFault('it has no tracks');
  return { header, tracks };
}

/** Where its data breaks off the library goes on with what is no number. */
function isSound(event: MidiEvent): boolean {
  const sevenBits = (value: number): boolean =>
    Number.isInteger(value) && value >= 0 && value < 128;
  if (!Number.isInteger(event.deltaTime) || event.deltaTime < 0) return false;
  if (event.type === 'noteOn' || event.type === 'noteOff') {
    return sevenBits(event.noteNumber) && sevenBits(event.velocity);
  }
  return event.type !== 'setTempo' || event.microsecondsPerBeat > 0;
}

/** Time of a tick in microseconds. */
type Time = (tick: number) => Micros;

function timeOf(header: MidiData['header'], tracks: MidiData['tracks']): Time {
  const { framesPerSecond, ticksPerFrame, ticksPerBeat } = header;
  if (framesPerSecond !== undefined && ticksPerFrame !== undefined) {
    // 29 stands for the 29.97 frames a second of NTSC television.
    const rate = framesPerSecond === 29 ? 30_000 / 1_001 : framesPerSecond;
    if (!(rate * ticksPerFrame > 0)) throw new MidiFault('its time division is 0 (byte 12)');
    return (tick) => Math.round((tick * 1e6) / (rate * ticksPerFrame));
  }
  if (!ticksPerBeat) throw new MidiFault('its time division is 0 (byte 12)');
  const changes = tracks
    .flatMap((track) =>
      withTicks(track).flatMap(({ tick, event }) =>
        event.type === 'setTempo' ? [{ tick, tempo: event.microsecondsPerBeat }] : [],
      ),
    )
    .sort((a, b) => a.tick - b.tick);
  const parts = [{ tick: 0, at: 0, tempo: USUAL_TEMPO }];
  for (const { tick, tempo } of changes) {
    const last = parts.at(-1)!;
    parts.push({ tick, at: last.at + ((tick - last.tick) * last.tempo) / ticksPerBeat, tempo });
  }
  return (tick) => {
    let low = 0;
    let high = parts.length;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (parts[middle]!.tick <= tick) low = middle;
      else high = middle;
    }
    const { tick: from, at, tempo } = parts[low]!;
    return Math.round(at + ((tick - from) * tempo) / ticksPerBeat);
  };
}

function withTicks(track: readonly MidiEvent[]): { tick: number; event: MidiEvent }[] {
  let tick = 0;
  return track.map((event) => ({ tick: (tick += event.deltaTime), event }));
}

interface ChannelNote {
  readonly channel: number;
  readonly note: ListedNote;
}

/** An off ends the earliest sounding note of its channel and pitch; a velocity of 0 is an off. */
function notesOf(track: readonly MidiEvent[], time: Time): ChannelNote[] {
  type Open = { -readonly [Key in keyof ListedNote]: ListedNote[Key] };
  const notes: { channel: number; note: Open }[] = [];
  const sounding = new Map<number, Open[]>();
  for (const { tick, event } of withTicks(track)) {
    if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
    const { channel, noteNumber, velocity } = event;
    const key = 128 * channel + noteNumber;
    if (event.type === 'noteOff') {
      const ended = sounding.get(key)?.shift();
      if (ended) ended.offset = time(tick);
      continue;
    }
    const note = {
      onset: time(tick),
      offset: null,
      note: noteNumber,
      velocity,
      strength: null,
      string: null,
    };
    notes.push({ channel, note });
    const open = sounding.get(key);
    if (open) open.push(note);
    else sounding.set(key, [note]);
  }
  return notes;
}
