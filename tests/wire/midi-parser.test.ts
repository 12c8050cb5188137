import fc from 'fast-check';
import { parseMidi as readMidiFile } from 'midi-file';
import { describe, expect, it } from 'vitest';
import type { MidiMessage } from '../../src/wire/midi-message.js';
import { beginMidi, parseMidi } from '../../src/wire/midi-parser.js';

// "Spec" is the MIDI 1.0 Detailed Specification 4.2.1, with its printed pages where they were looked up.

function parse(hex: string, most?: number) {
  const bytes = Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));
  const { state, messages } = parseMidi(beginMidi(most), bytes);
  return { messages, faults: state.faults };
}

const NO_FAULTS = { stray: 0, undefined: 0, broken: 0, oversized: 0 };
const on = (note: number, velocity: number, channel = 0): MidiMessage => ({
  type: 'note-on',
  channel,
  note,
  velocity,
});
const off = (note: number, velocity: number): MidiMessage => ({
  type: 'note-off',
  channel: 0,
  note,
  velocity,
});
const realTime = (status: number): MidiMessage => ({ type: 'real-time', status });

describe('voice and mode messages', () => {
  it('reads each kind', () => {
    // Spec, tables I to III (from memory).
    const { messages, faults } = parse(
      '82 3c 40 93 3c 7f a0 3c 01 b1 07 64 c0 21 d0 33 e0 00 40 bf 7b 00',
    );
    expect(messages).toEqual([
      { type: 'note-off', channel: 2, note: 60, velocity: 64 },
      { type: 'note-on', channel: 3, note: 60, velocity: 127 },
      { type: 'key-pressure', channel: 0, note: 60, pressure: 1 },
      { type: 'control', channel: 1, controller: 7, value: 100 },
      { type: 'program', channel: 0, program: 33 },
      { type: 'channel-pressure', channel: 0, pressure: 51 },
      // The bend's centre is 00 40 (spec p. 19).
      { type: 'bend', channel: 0, bend: 8192 },
      // 123 is All Notes Off, a mode message (spec p. 24).
      { type: 'mode', channel: 15, mode: 123, value: 0 },
    ]);
    expect(faults).toEqual(NO_FAULTS);
  });

  it('takes a Note On with velocity 0 for a Note Off (spec p. 10)', () => {
    expect(parse('90 3c 64 90 3c 00').messages).toEqual([on(60, 100), off(60, 0)]);
  });

  it('goes on with running status (spec p. 5)', () => {
    expect(parse('90 3c 64 40 64 3c 00 b0 01 02 03 04').messages).toEqual([
      on(60, 100),
      on(64, 100),
      off(60, 0),
      { type: 'control', channel: 0, controller: 1, value: 2 },
      { type: 'control', channel: 0, controller: 3, value: 4 },
    ]);
    expect(parse('c0 01 02').messages).toEqual([
      { type: 'program', channel: 0, program: 1 },
      { type: 'program', channel: 0, program: 2 },
    ]);
  });
});

describe('real-time bytes (spec p. 5 and 30)', () => {
  it('come between the bytes of a message and leave it and its running status alone', () => {
    const { messages, faults } = parse('90 f8 3c fe 64 ff 40 f8 64');
    expect(messages).toEqual([
      realTime(0xf8),
      realTime(0xfe),
      on(60, 100),
      realTime(0xff),
      realTime(0xf8),
      on(64, 100),
    ]);
    expect(faults).toEqual(NO_FAULTS);
  });

  it('come inside SysEx', () => {
    expect(parse('f0 7d f8 01 fe 02 f7').messages).toEqual([
      realTime(0xf8),
      realTime(0xfe),
      { type: 'sysex', data: Uint8Array.of(0x7d, 1, 2) },
    ]);
  });

  it('are ignored and counted where undefined', () => {
    const { messages, faults } = parse('90 3c f9 64 fd 40 64');
    expect(messages).toEqual([on(60, 100), on(64, 100)]);
    expect(faults).toEqual({ ...NO_FAULTS, undefined: 2 });
  });
});

describe('system common messages', () => {
  it('reads each, and ends running status with each (spec p. 5: voice and mode only)', () => {
    const { messages, faults } = parse('90 3c 64 f1 12 40 64 f2 01 02 40 f3 05 40 f6 40');
    expect(messages).toEqual([
      on(60, 100),
      { type: 'common', status: 0xf1, data1: 0x12, data2: 0 },
      { type: 'common', status: 0xf2, data1: 1, data2: 2 },
      { type: 'common', status: 0xf3, data1: 5, data2: 0 },
      { type: 'common', status: 0xf6, data1: 0, data2: 0 },
    ]);
    expect(faults).toEqual({ ...NO_FAULTS, stray: 5 });
  });

  it('ignores undefined ones with their data, which ends running status', () => {
    const { messages, faults } = parse('90 3c 64 f4 01 02 f5 90 3c 64');
    expect(messages).toEqual([on(60, 100), on(60, 100)]);
    expect(faults).toEqual({ ...NO_FAULTS, undefined: 2, stray: 2 });
  });
});

describe('SysEx', () => {
  it('comes empty, whole, and one after the other', () => {
    expect(parse('f0 f7 f0 7d 7f f7').messages).toEqual([
      { type: 'sysex', data: Uint8Array.of() },
      { type: 'sysex', data: Uint8Array.of(0x7d, 0x7f) },
    ]);
  });

  it('ends running status', () => {
    const { messages, faults } = parse('90 3c 64 f0 f7 40 64');
    expect(messages).toHaveLength(2);
    expect(faults.stray).toBe(2);
  });

  it('is dropped and counted where another status byte ends it', () => {
    const { messages, faults } = parse('f0 7d 01 90 3c 64 f0 7d f0 7d 02 f7');
    expect(messages).toEqual([on(60, 100), { type: 'sysex', data: Uint8Array.of(0x7d, 2) }]);
    expect(faults).toEqual({ ...NO_FAULTS, broken: 2 });
  });

  it('is dropped and counted where it is longer than the bound, and taken at the bound', () => {
    const { messages, faults } = parse(
      'f0 01 02 03 f7 f0 01 02 03 04 f7 f0 01 02 03 04 05 06 f7 f0 05 f7',
      3,
    );
    expect(messages).toEqual([
      { type: 'sysex', data: Uint8Array.of(1, 2, 3) },
      { type: 'sysex', data: Uint8Array.of(5) },
    ]);
    expect(faults).toEqual({ ...NO_FAULTS, oversized: 2 });
  });

  it('gives each message its own bytes', () => {
    const first = parseMidi(beginMidi(), Uint8Array.of(0xf0, 1, 0xf7));
    const second = parseMidi(first.state, Uint8Array.of(0xf0, 2, 0xf7));
    expect(first.messages).toEqual([{ type: 'sysex', data: Uint8Array.of(1) }]);
    expect(second.messages).toEqual([{ type: 'sysex', data: Uint8Array.of(2) }]);
  });
});

describe('lost bytes', () => {
  it('counts data that belongs to nothing, and an F7 that ends nothing', () => {
    expect(parse('01 02 f7 90 3c 64')).toEqual({
      messages: [on(60, 100)],
      faults: { ...NO_FAULTS, stray: 3 },
    });
  });

  it('counts messages that the next one cuts short', () => {
    expect(parse('90 80 3c 40 90 3c 90 3c 64 3c 90 3c f7')).toEqual({
      messages: [off(60, 64), on(60, 100)],
      faults: { stray: 1, undefined: 0, broken: 4, oversized: 0 },
    });
  });
});

describe('against midi-file, an independent reader', () => {
  const channel = fc.nat(15);
  const data = fc.nat(127);
  const voice = fc.oneof(
    fc.tuple(fc.constantFrom(0x80, 0x90, 0xa0, 0xb0, 0xe0), channel, data, data),
    fc.tuple(fc.constantFrom(0xc0, 0xd0), channel, data),
  );

  /** The words of midi-file for our messages. */
  function inItsWords(message: MidiMessage): object {
    switch (message.type) {
      case 'note-on':
      case 'note-off':
        return {
          type: message.type === 'note-on' ? 'noteOn' : 'noteOff',
          noteNumber: message.note,
          velocity: message.velocity,
        };
      case 'key-pressure':
        return { type: 'noteAftertouch', noteNumber: message.note, amount: message.pressure };
      case 'control':
        return { type: 'controller', controllerType: message.controller, value: message.value };
      case 'mode':
        return { type: 'controller', controllerType: message.mode, value: message.value };
      case 'program':
        return { type: 'programChange', programNumber: message.program };
      case 'channel-pressure':
        return { type: 'channelAftertouch', amount: message.pressure };
      case 'bend':
        return { type: 'pitchBend', value: message.bend - 8192 };
      default:
        throw new Error(`no voice message: ${message.type}`);
    }
  }

  it('reads voice messages with running status alike', () => {
    fc.assert(
      fc.property(fc.array(voice, { minLength: 1, maxLength: 30 }), (voices) => {
        let running = -1;
        const events = voices.map(([kind, ch, ...rest]) => {
          const status = kind | ch;
          const bytes = status === running ? rest : [status, ...rest];
          running = status;
          return bytes;
        });
        const { messages } = parseMidi(beginMidi(), Uint8Array.from(events.flat()));

        // The same bytes in a Standard MIDI File: a delta time of 0 before each.
        const track = [...events.flatMap((bytes) => [0, ...bytes]), 0, 0xff, 0x2f, 0];
        const size = [24, 16, 8, 0].map((shift) => (track.length >> shift) & 0xff);
        const head = [...Buffer.from('MThd'), 0, 0, 0, 6, 0, 0, 0, 1, 0, 96];
        const file = readMidiFile(
          Uint8Array.from([...head, ...Buffer.from('MTrk'), ...size, ...track]),
        );
        const theirs = file.tracks[0]!.slice(0, -1);
        expect(messages).toHaveLength(theirs.length);
        messages.forEach((message, i) => {
          expect(theirs[i]).toMatchObject(inItsWords(message));
          expect(theirs[i]).toMatchObject({ channel: (message as { channel: number }).channel });
        });
      }),
    );
  });
});
