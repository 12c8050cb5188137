import fc from 'fast-check';
import { parseMidi, type MidiData } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { standardMidiFile, TICK } from '../../src/engine/smf.js';
import { variableLength } from '../../src/engine/smf-bytes.js';
import { anyRoom } from '../contract/voice-events.js';
import { onset, playedNotes, stretches, type FileNote } from './played.js';
import { seatSound } from '../support/seat-sound.js';

const bass = seatSound({ name: 'north', sound: 34, level: 0.8, strings: 4 });
const mode = fc.constantFrom('seat' as const, 'string' as const);

/** Pairs each Note On with the next Note Off of its channel and number, as midi-file 1.2.4 reads them. */
function notesOf({ tracks }: MidiData): FileNote[] {
  const notes: FileNote[] = [];
  for (const track of tracks) {
    const open = new Map<string, { velocity: number; begin: number }>();
    let tick = 0;
    for (const event of track) {
      tick += event.deltaTime;
      if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
      const { channel, noteNumber: note } = event;
      const key = `${String(channel)}:${String(note)}`;
      if (event.type === 'noteOn') {
        expect(open.has(key)).toBe(false);
        open.set(key, { velocity: event.velocity, begin: tick });
      } else {
        const { velocity, begin } = open.get(key)!;
        open.delete(key);
        notes.push({ channel, note, velocity, begin, end: tick });
      }
    }
    expect([...open.keys()]).toEqual([]);
  }
  return notes;
}

describe('a Standard MIDI File', () => {
  it('holds what was played, on the tick, for an independent reader (midi-file 1.2.4)', () => {
    fc.assert(
      fc.property(anyRoom(20, false), mode, ({ seats, events }, channels) => {
        const read = notesOf(parseMidi(standardMidiFile(events, { seats, channels })));
        const played = playedNotes(seats, channels, events);
        expect(read.map(onset).sort()).toEqual(played.map(onset).sort());
        expect(stretches(read).sort()).toEqual(stretches(played).sort());
      }),
      { numRuns: 200 },
    );
  });

  it('has ticks of half a millisecond, by its own tempo and division', () => {
    const { header, tracks } = parseMidi(standardMidiFile([], { seats: [bass] }));
    const tempo = tracks[0]!.find((event) => event.type === 'setTempo')!;
    expect(tempo).toMatchObject({ microsecondsPerBeat: 500_000 });
    expect(500_000 / header.ticksPerBeat!).toBe(TICK);
    expect(TICK).toBe(500);
  });

  it('is of format 1: the tempo, then a track a seat with its name, sound, level and pan', () => {
    const seats = [bass, seatSound({ name: 'süd', sound: 1, level: 1, strings: 4 })];
    const { header, tracks } = parseMidi(standardMidiFile([], { seats }));
    expect(header).toMatchObject({ format: 1, numTracks: 3 });
    expect(tracks.slice(1).map((track) => track.map(({ type }) => type))).toEqual(
      Array(2).fill(['trackName', 'programChange', 'controller', 'controller', 'endOfTrack']),
    );
    // midi-file gives the bytes of a text as characters.
    const name = tracks[2]!.find((event) => event.type === 'trackName')!.text;
    expect(new TextDecoder().decode(Uint8Array.from(name, (c) => c.charCodeAt(0)))).toBe('süd');
    expect(tracks[1]).toContainEqual(
      expect.objectContaining({ type: 'programChange', channel: 0, programNumber: 33 }),
    );
  });

  it('enters and leaves MIDI mode 4 where one seat has a channel a string', () => {
    const { tracks } = parseMidi(standardMidiFile([], { seats: [bass], channels: 'string' }));
    const modes = tracks[1]!.flatMap((event) =>
      event.type === 'controller' && event.controllerType >= 120 ? [event.controllerType] : [],
    );
    expect(modes).toEqual([124, 126, 125, 127]);
  });
});

describe('a quantity of variable length', () => {
  it('is written as in the examples of Standard MIDI Files 1.0 (from memory)', () => {
    const examples: [number, number[]][] = [
      [0x00, [0x00]],
      [0x40, [0x40]],
      [0x7f, [0x7f]],
      [0x80, [0x81, 0x00]],
      [0x2000, [0xc0, 0x00]],
      [0x3fff, [0xff, 0x7f]],
      [0x4000, [0x81, 0x80, 0x00]],
      [0x1fffff, [0xff, 0xff, 0x7f]],
      [0x0fffffff, [0xff, 0xff, 0xff, 0x7f]],
    ];
    for (const [value, bytes] of examples) expect(variableLength(value)).toEqual(bytes);
  });
});
