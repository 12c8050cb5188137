import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import type { Channels } from '../../src/engine/channels.js';
import { standardMidiFile, TICK } from '../../src/engine/smf.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { anyRoom } from '../contract/voice-events.js';
import { onset, playedNotes, stretches, type FileNote } from '../engine/played.js';
import { tool } from './csound-process.js';
import { rmsBetween } from './heard.js';

const folder = mkdtempSync(join(tmpdir(), 'pluckwork-midi-'));
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** Prints the notes of each file as [channel, note, velocity, begin, end], with times in seconds. */
const SCRIPT = `
import json, sys, mido
for path in sys.argv[1:]:
    notes, sounding, now = [], {}, 0.0
    for message in mido.MidiFile(path):
        now += message.time
        if message.type == 'note_on':
            assert (message.channel, message.note) not in sounding
            sounding[message.channel, message.note] = (message.velocity, now)
        elif message.type == 'note_off':
            velocity, begin = sounding.pop((message.channel, message.note))
            notes.append([message.channel, message.note, velocity, begin, now])
    assert not sounding
    print(json.dumps(notes))
`;
import { seatSound } from '../support/seat-sound.js';

function readWithMido(paths: readonly string[]): FileNote[][] {
  // Debian's own Python, since only that one has Debian's package.
  const lines = tool('/usr/bin/python3', ['-c', SCRIPT, ...paths], 'python3-mido');
  return lines
    .trim()
    .split('\n')
    .map((line) =>
      (JSON.parse(line) as [number, number, number, number, number][]).map(
        ([channel, note, velocity, begin, end]) => ({
          channel,
          note,
          velocity,
          begin: Math.round((begin * 1e6) / TICK),
          end: Math.round((end * 1e6) / TICK),
        }),
      ),
    );
}

describe('mido 1.2.10, an independent reader', () => {
  it('finds in our files what was played, on the tick', () => {
    const rooms = fc.sample(anyRoom(20, false), { numRuns: 40, seed: 20_260_101 });
    const paths = rooms.map(({ seats, events }, i) => {
      const path = join(folder, `${String(i)}.mid`);
      const channels = i % 2 === 0 ? 'seat' : 'string';
      writeFileSync(path, standardMidiFile(events, { seats, channels }));
      return path;
    });
    const read = readWithMido(paths);
    for (const [i, { seats, events }] of rooms.entries()) {
      const played = playedNotes(seats, i % 2 === 0 ? 'seat' : 'string', events);
      expect(read[i]!.map(onset).sort()).toEqual(played.map(onset).sort());
      expect(stretches(read[i]!).sort()).toEqual(stretches(played).sort());
    }
  });
});

/** A room that FluidSynth 2 plays from a file; each seat's string sounds alone for half a second. */
function playedByFluidSynth(
  seats: readonly SeatSound[],
  channels: Channels,
  order: readonly (readonly [seat: number, string: number])[],
): number[] {
  const events = order.flatMap(([seat, string], i): VoiceEvent[] => {
    const own = { voice: i + 1, seat, note: 40, string };
    const on = { velocity: 100, strength: 1, fret: 0, how: 'pluck' as const };
    return [
      { type: 'on', t: i * 1_000_000, ...own, ...on },
      { type: 'off', t: i * 1_000_000 + 500_000, ...own, slurred: false },
    ];
  });
  const [file, wav] = [join(folder, 'room.mid'), join(folder, 'room.wav')];
  writeFileSync(file, standardMidiFile(events, { seats, channels }));
  const font = '/usr/share/sounds/sf2/TimGM6mb.sf2';
  const quiet = ['-o', 'synth.reverb.active=0', '-o', 'synth.chorus.active=0'];
  tool('fluidsynth', ['-ni', '-q', '-R', '0', ...quiet, '-F', wav, font, file], 'fluidsynth');
  return order.map((_, i) => rmsBetween(wav, i + 0.1, 0.3));
}

describe('FluidSynth, a receiver that knows the MIDI modes', () => {
  const seat = (name: string, level = 1): SeatSound =>
    seatSound({ name, sound: 34, level, strings: 4 });
  const strings = [0, 1, 2, 3];

  it('plays every string of one seat in MIDI mode 4', () => {
    const heard = playedByFluidSynth(
      [seat('north')],
      'string',
      strings.map((string) => [0, string]),
    );
    for (const rms of heard) expect(rms).toBeGreaterThan(0.005);
  });

  it('plays every string of every seat, where mode 4 would silence all but the first', () => {
    const seats = ['north', 'east', 'south', 'west'].map((name) => seat(name));
    const heard = playedByFluidSynth(
      seats,
      'string',
      seats.flatMap((_, i) => strings.map((string) => [i, string] as const)),
    );
    for (const rms of heard) expect(rms).toBeGreaterThan(0.005);
  });

  it('plays a seat with half the level at half the amplitude', () => {
    const [full, half] = playedByFluidSynth([seat('a'), seat('b', 0.5)], 'seat', [
      [0, 0],
      [1, 0],
    ]);
    // Controller 7 has 127 steps: 90 stands for 0.502.
    expect(Math.abs(half! / full! - 0.5)).toBeLessThan(0.01);
  });
});
