import fc from 'fast-check';
import { MIDIBuilder } from 'spessasynth_core';
import { describe, expect, it } from 'vitest';
import { isMidiFile, MidiFault, readMidiNotes } from '../../src/takes/read-midi.js';

const bytesOf = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex.replace(/\s/g, ''), 'hex'));

/** The example of format 0 that ends the Standard MIDI Files 1.0 specification (MEMORY): running status, and two channels. */
const EXAMPLE = bytesOf(`
  4d546864 00000006 0000 0001 0060
  4d54726b 0000003b
  00 ff5804 04021808  00 ff5103 07a120  00 c005  00 c12e  00 c246
  00 923060  00 3c60  60 914340  60 904c20
  8140 823040  00 3c40  00 814340  00 804c40  00 ff2f00`);

/** What an independent library writes: notes as [tick, track, channel from 0, pitch, ticks long]. */
function written(
  notes: readonly (readonly [number, number, number, number, number])[],
  tempos: readonly (readonly [tick: number, beatsAMinute: number])[] = [],
): Uint8Array {
  const builder = new MIDIBuilder({ timeDivision: 480, initialTempo: 120, format: 1, name: 'x' });
  const tracks = Math.max(...notes.map(([, track]) => track));
  for (let i = 1; i <= tracks; i++) builder.addTrack(`track ${String(i)}`);
  for (const [tick, tempo] of tempos) builder.setTempo(tick, tempo);
  const all = notes.flatMap(([tick, track, channel, pitch, long]) => [
    { tick, off: false, track, channel, pitch },
    { tick: tick + long, off: true, track, channel, pitch },
  ]);
  all.sort((a, b) => a.tick - b.tick || Number(b.off) - Number(a.off));
  for (const { tick, off, track, channel, pitch } of all) {
    if (off) builder.noteOff(tick, track, channel, pitch);
    else builder.noteOn(tick, track, channel, pitch, 77);
  }
  builder.flush();
  return new Uint8Array(builder.writeMIDI());
}

const told = (bytes: Uint8Array) =>
  readMidiNotes(bytes).notes.map(({ onset, offset, note, velocity }) => [onset, offset, note, velocity]);

describe('a Standard MIDI File', () => {
  it('gives the notes of the specification’s own example', () => {
    expect(isMidiFile(EXAMPLE)).toBe(true);
    // 96 ticks are a crotchet of half a second.
    expect(told(EXAMPLE)).toEqual([
      [0, 2_000_000, 48, 96],
      [0, 2_000_000, 60, 96],
      [500_000, 2_000_000, 67, 64],
      [1_000_000, 2_000_000, 76, 32],
    ]);
  });

  it('is read with its changes of tempo, on whatever track its notes are', () => {
    const notes = [[0, 1, 0, 40, 480], [480, 2, 1, 45, 480], [960, 1, 0, 40, 240]] as const;
    expect(told(written(notes, [[480, 60], [960, 240]]))).toEqual([
      [0, 500_000, 40, 77],
      [500_000, 1_500_000, 45, 77],
      [1_500_000, 1_625_000, 40, 77],
    ]);
  });

  it('has percussion left out where there is anything else', () => {
    const drums = [[0, 1, 9, 36, 10], [480, 1, 9, 38, 10]] as const;
    const both = readMidiNotes(written([...drums, [0, 2, 0, 40, 10]]));
    expect([both.notes.map(({ note }) => note), both.percussion]).toEqual([[40], 2]);
    const alone = readMidiNotes(written(drums));
    expect([alone.notes.map(({ note }) => note), alone.percussion]).toEqual([[36, 38], 0]);
  });

  it('may end a note by a velocity of 0, and count its time in frames', () => {
    // 25 frames a second of 40 ticks: a tick is a millisecond (Standard MIDI Files 1.0, division).
    const track = '00 903c40  8768 3c00  00 ff2f00';
    const bytes = bytesOf(`4d546864 00000006 0000 0001 e728 4d54726b 0000000c ${track}`);
    expect(told(bytes)).toEqual([[0, 1_000_000, 60, 64]]);
  });
});

describe('a damaged MIDI file', () => {
  it.each([
    [EXAMPLE.subarray(0, 10), 'its header breaks off: the file ends at byte 10'],
    [EXAMPLE.subarray(0, 60), 'track 1 breaks off: it goes from byte 22 to 81, and the file ends at 60'],
    [EXAMPLE.subarray(0, 16), 'it breaks off before track 1 of 1: the file ends at byte 16'],
    [Uint8Array.from([...EXAMPLE.subarray(0, 14), 1, 2, 3, 4, 0, 0, 0, 0]), 'no track begins at byte 14'],
    [EXAMPLE.with(49, 0xf4), 'track 1, from byte 22 to 81, is damaged'],
    [EXAMPLE.with(78, 0x00), 'track 1, from byte 22 to 81, is damaged'],
    [EXAMPLE.with(9, 2), 'several pieces (format 2)'],
    [EXAMPLE.with(13, 0), 'its time division is 0 (byte 12)'],
    [Buffer.from('RIFF'), 'does not begin as a MIDI file'],
  ])('is refused with what and where (%#)', (bytes, words) => {
    expect(() => readMidiNotes(new Uint8Array(bytes))).toThrow(MidiFault);
    expect(() => readMidiNotes(new Uint8Array(bytes))).toThrow(words);
  });

  it('gives whole notes or is refused in words, whatever its bytes are', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(EXAMPLE.length - 1), fc.nat(255)), { minLength: 1, maxLength: 6 }),
        fc.nat(EXAMPLE.length),
        (changes, length) => {
          let bytes = EXAMPLE;
          for (const [at, byte] of changes) bytes = bytes.with(at, byte);
          bytes = length < 8 ? bytes : bytes.slice(0, length);
          try {
            for (const { onset, note } of readMidiNotes(bytes).notes) {
              expect(Number.isSafeInteger(onset) && onset >= 0).toBe(true);
              expect(Number.isInteger(note) && note >= 0 && note < 128).toBe(true);
            }
          } catch (error) {
            if (!(error instanceof MidiFault)) throw error;
          }
        },
      ),
      { numRuns: 2_000 },
    );
  });
});
