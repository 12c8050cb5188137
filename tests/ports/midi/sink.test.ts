import { describe, expect, it } from 'vitest';
import {
  listMidiPorts,
  midiAvailable,
  midiEngine,
  midiSink,
  midiSource,
} from '../../../src/ports/midi/ports.js';
import { MidiSystem } from '../../../src/ports/midi/system.js';
import type { SeatSound } from '../../../src/engine/seat-sound.js';
import type { VoiceOn } from '../../../src/room/voice.js';
import { FakeClock, FakeMidi, listener, type FakePort } from './fake.js';
import { seatSound } from '../../support/seat-sound.js';

const SYNTH = 'Lark Synth:Synth input port 40:0';
const BASS: SeatSound = seatSound({ name: 'north', sound: 34, level: 1, strings: 4 });

function withSynth(): FakeMidi {
  const midi = new FakeMidi();
  midi.lists.output.push(SYNTH);
  return midi;
}

function only(midi: FakeMidi): FakePort {
  expect(midi.open).toHaveLength(1);
  return midi.open[0]!;
}

function on(over: Partial<VoiceOn> = {}): VoiceOn {
  const base = { type: 'on', t: 1_000, voice: 1, seat: 0, note: 33, velocity: 96, strength: 0.7 };
  return { ...base, string: 2, fret: 0, how: 'pluck', ...over } as VoiceOn;
}

describe('MIDI sink', () => {
  it('opens by part of the name, sends its opening messages first, then what it is given', () => {
    const midi = withSynth();
    const { tell, text } = listener();
    const opening = (): number[][] => [[0xc0, 33]];
    const sink = midiSink({ port: 'lark' }, tell, { opening, system: new MidiSystem(midi) });
    sink.send([0x90, 33, 96]);
    expect(sink.open).toBe(true);
    expect(only(midi).sent).toEqual([
      [0xc0, 33],
      [0x90, 33, 96],
    ]);
    expect(text()).toBe(
      'info: MIDI port "lark": the MIDI port "Lark Synth:Synth input port" is open / ',
    );
  });

  it('drops while the port is away, says so once, and opens again with its opening messages', () => {
    const midi = withSynth();
    const { told, tell } = listener();
    const opening = (): number[][] => [[0xc0, 33]];
    const sink = midiSink({ port: 'lark' }, tell, { opening, system: new MidiSystem(midi) });
    midi.lists.output.length = 0;
    midi.second(3);
    expect(sink.open).toBe(false);
    sink.send([0x90, 33, 96]);
    midi.lists.output.push('Lark Synth:Synth input port 41:0');
    midi.second();
    sink.send([0x90, 35, 96]);
    expect(only(midi).sent).toEqual([
      [0xc0, 33],
      [0x90, 35, 96],
    ]);
    expect(told.map(({ level }) => level)).toEqual(['info', 'warn', 'info']);
  });

  it('takes a port whose driver fails for one that has gone', () => {
    const midi = withSynth();
    const { tell, text } = listener();
    const sink = midiSink({ port: 'lark' }, tell, { system: new MidiSystem(midi) });
    only(midi).broken = true;
    sink.send([0x90, 33, 96]);
    expect(sink.open).toBe(false);
    expect(text()).toContain('has gone');
    midi.second();
    sink.send([0x90, 34, 96]);
    expect(only(midi).sent).toEqual([[0x90, 34, 96]]);
  });

  it('tells each that joins its own port the opening messages', () => {
    const midi = new FakeMidi();
    const opening = (): number[][] => [[0xc0, 33]];
    const { tell } = listener();
    midiSink({ virtual: 'pluckwork' }, tell, { opening, system: new MidiSystem(midi) });
    expect(midi.lists.input).toEqual(['RtMidi Output Client:pluckwork 128:0']);
    const [port] = midi.open;
    expect(port!.sent).toHaveLength(1);
    midi.second(2);
    expect(port!.sent).toHaveLength(1);
    midi.joins!.set('128:0', ['50:0']);
    midi.second(2);
    expect(port!.sent).toHaveLength(2);
    midi.joins!.set('128:0', ['50:0', '51:0']);
    midi.second(2);
    expect(port!.sent).toHaveLength(3);
  });

  it('never is the port that a seat of the same process listens to, until it is closed', () => {
    const midi = new FakeMidi();
    const system = new MidiSystem(midi);
    const { tell } = listener();
    const sink = midiSink({ virtual: 'bass' }, tell, { system });
    const seats = [{ seat: 0, seatName: 'north', from: { midi: 'bass' }, as: 'notes' as const }];
    midiSource({ seats, clock: new FakeClock(), tell, system });
    midi.second(2);
    expect(midi.open.map(({ direction }) => direction)).toEqual(['output']);
    sink.close();
    // Another program's now, with the name and the address that ours had.
    midi.lists.input.push('RtMidi Output Client:bass 128:0');
    midi.second();
    expect(midi.open.map(({ direction }) => direction)).toEqual(['input']);
  });

  it('lets go of its port and stops looking when closed', () => {
    const midi = withSynth();
    const sink = midiSink({ port: 'lark' }, listener().tell, { system: new MidiSystem(midi) });
    sink.close();
    sink.send([0x90, 33, 96]);
    expect(midi.ports.every(({ destroyed }) => destroyed)).toBe(true);
    expect(midi.ports.flatMap(({ sent }) => sent)).toEqual([]);
    expect(midi.polling).toBe(false);
  });
});

describe('MIDI engine', () => {
  function engine(midi: FakeMidi, target = { port: 'lark' } as const) {
    const { tell, told } = listener();
    const system = new MidiSystem(midi);
    return {
      told,
      engine: midiEngine({ seats: [BASS], target, channels: 'seat', tell, system }),
    };
  }

  // Note On 9n, Note Off 8n, program Cn, 7 is volume, 120 All Sound Off, 123 All Notes Off:
  // MIDI 1.0 Detailed Specification 4.2.1, tables I and III. Programs count from 1 for people.
  const SILENCE = [
    [0xb0, 123, 0],
    [0xb0, 120, 0],
  ];
  /** 121 Reset All Controllers lets go of a pedal that would hold notes through 123. */
  const OPENING = [[0xb0, 121, 0], ...SILENCE];
  const SOUND = [
    [0xc0, 33],
    [0xb0, 7, 127],
    [0xb0, 10, 64],
  ];

  it('silences the port, sets it up and sends notes', () => {
    const midi = withSynth();
    const { engine: made } = engine(midi);
    expect(made.name).toBe('MIDI port "lark"');
    made.send(on());
    made.send({ ...on({ t: 2_000 }), type: 'off', slurred: false } as never);
    expect(only(midi).sent).toEqual([...OPENING, ...SOUND, [0x90, 33, 96], [0x80, 33, 64]]);
  });

  it('silences before it lets go of the port', async () => {
    const midi = withSynth();
    const { engine: made } = engine(midi);
    made.send(on());
    const port = only(midi);
    await made.close();
    expect(port.sent.slice(7)).toEqual([[0x80, 33, 64], ...SILENCE]);
    expect(port.destroyed).toBe(true);
  });

  it('silences a port that is back, since it may still sound what it played before', () => {
    const midi = withSynth();
    const { engine: made } = engine(midi);
    made.send(on());
    midi.lists.output.length = 0;
    midi.second();
    made.send(on({ voice: 2, t: 3_000 }));
    midi.lists.output.push(SYNTH);
    midi.second();
    expect(only(midi).sent).toEqual([...OPENING, ...SOUND]);
  });

  it('tells who joins its own port the sounds, and lets the others play on', () => {
    const midi = new FakeMidi();
    const { tell } = listener();
    const system = new MidiSystem(midi);
    const target = { virtual: 'pluckwork' };
    const made = midiEngine({ seats: [BASS], target, channels: 'seat', tell, system });
    made.send(on());
    midi.joins!.set('128:0', ['50:0']);
    midi.second();
    expect(only(midi).sent).toEqual([...OPENING, ...SOUND, [0x90, 33, 96], ...SOUND]);
  });

  it('silences who joins its own port while nothing sounds: a killed program may have left notes on', () => {
    const midi = new FakeMidi();
    const { tell } = listener();
    const system = new MidiSystem(midi);
    const target = { virtual: 'pluckwork' };
    midiEngine({ seats: [BASS], target, channels: 'seat', tell, system });
    const { sent } = only(midi);
    sent.length = 0;
    midi.joins!.set('128:0', ['50:0']);
    midi.second();
    expect(sent).toEqual([...OPENING, ...SOUND]);
  });

  it('never leaves the off of a slur unsent whose next note does not come', async () => {
    const midi = withSynth();
    const made = midiEngine({
      seats: [BASS],
      target: { port: 'lark' },
      channels: 'string',
      tell: listener().tell,
      system: new MidiSystem(midi),
    });
    made.send(on());
    const before = only(midi).sent.length;
    made.send({ type: 'off', t: 2_000, voice: 1, seat: 0, note: 33, string: 2, slurred: true });
    await new Promise((resolve) => setImmediate(resolve));
    expect(only(midi).sent.slice(before)).toEqual([[0x82, 33, 64]]);
    await made.close();
  });

  it('does nothing but say so where there is no MIDI', async () => {
    const midi = new FakeMidi();
    midi.there = false;
    const { engine: made, told } = engine(midi);
    made.send(on());
    midi.second(3);
    await made.close();
    expect(told).toHaveLength(1);
  });
});

describe('the list of MIDI ports', () => {
  it('gives names without the numbers that change from run to run, and keeps no client', () => {
    const midi = withSynth();
    midi.lists.input.push('Paperboard:Paperboard MIDI 1 24:0');
    expect(listMidiPorts(new MidiSystem(midi))).toEqual({
      available: true,
      inputs: ['Paperboard:Paperboard MIDI 1'],
      marks: [''],
      outputs: ['Lark Synth:Synth input port'],
    });
    expect(midi.ports.every(({ destroyed }) => destroyed)).toBe(true);
    expect(midi.polling).toBe(false);
  });

  it('says why there is none', () => {
    const midi = new FakeMidi();
    midi.there = false;
    const list = listMidiPorts(new MidiSystem(midi));
    expect(list).toMatchObject({ available: false, inputs: [], outputs: [] });
    expect(list.reason).toContain('no MIDI system');
    expect(midiAvailable(new MidiSystem(midi))).toBe(false);
  });
});
