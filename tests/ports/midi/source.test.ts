import { describe, expect, it } from 'vitest';
import { midiSource, type MidiSeat } from '../../../src/ports/midi/ports.js';
import { MidiSystem } from '../../../src/ports/midi/system.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { midiWire } from '../../../src/wire/midi-wires.js';
import { FakeClock, FakeMidi, listener } from './fake.js';

const BOARD = 'Paperboard:Paperboard MIDI 1 24:0';
const OTHER = 'Foilboard:Foilboard MIDI 1 28:0';

function seat(over: Partial<MidiSeat> = {}): MidiSeat {
  return { seat: 0, seatName: 'north', from: { midi: 'paper' }, as: 'pressure', ...over };
}

function setUp(seats: readonly MidiSeat[], midi = new FakeMidi()) {
  const clock = new FakeClock();
  const { told, tell, text } = listener();
  const system = new MidiSystem(midi);
  const events: Seated<WireEvent>[] = [];
  let complete = false;
  const source = midiSource({ seats, clock, tell, system });
  source.events.subscribe({ next: (e) => events.push(e), complete: () => (complete = true) });
  const receive = (bytes: readonly number[], port = midi.open[0]): void => {
    if (!port) throw new Error('no port is open');
    for (const call of port.listeners) call(0, Uint8Array.from(bytes));
  };
  return { midi, clock, told, text, source, events, receive, done: () => complete };
}

function withPorts(...inputs: string[]): FakeMidi {
  const midi = new FakeMidi();
  midi.lists.input.push(...inputs);
  return midi;
}

describe('MIDI source', () => {
  it('opens by part of the name in any case and gives readings with their seat and time', () => {
    const { midi, clock, events, receive, text } = setUp(
      [seat({ seat: 3, from: { midi: 'PAPERBOARD midi' } })],
      withPorts('Midi Through:Midi Through Port-0 14:0', BOARD),
    );
    expect(midi.open.map(({ opened }) => opened)).toEqual([BOARD]);
    expect(text()).toBe(
      'info: seat north: the MIDI port "Paperboard:Paperboard MIDI 1" is open / ',
    );
    clock.pass(2_500);
    // Polyphonic key pressure, status An: MIDI 1.0 Detailed Specification 4.2.1, table I.
    receive([0xa0, 16, 100]);
    expect(events).toEqual([
      {
        type: 'seated',
        seat: 3,
        t: 2_500,
        event: { type: 'scan', t: 2_500, inputs: [16], raws: [100] },
      },
    ]);
  });

  it('hands on program changes, counted from 1, which mean no pads', () => {
    const programs: [number, number][] = [];
    const midi = withPorts(BOARD);
    const source = midiSource({
      seats: [seat({ seat: 2 })],
      clock: new FakeClock(),
      tell: listener().tell,
      system: new MidiSystem(midi),
      onProgram: (...both) => programs.push(both),
    });
    const events: unknown[] = [];
    source.events.subscribe((event) => events.push(event));
    // Program Change, status Cn: MIDI 1.0 Detailed Specification 4.2.1, table I; 0 is program 1 (p18).
    for (const call of midi.open[0]!.listeners) call(0, Uint8Array.from([0xc4, 2]));
    expect([programs, events]).toEqual([[[2, 3]], []]);
  });

  it('lets in SysEx, timing and Active Sensing, which the library leaves out unless told', () => {
    const { midi } = setUp([seat({ as: 'frames' })], withPorts(BOARD));
    expect(midi.open[0]!.ignored).toEqual([[false, false, false]]);
  });

  it('dates frames by the time of the board, not by when they came', () => {
    const { clock, events, receive } = setUp([seat({ as: 'frames' })], withPorts(BOARD));
    const codec = midiWire('frames');
    const frame = (t: number, sent: number): number[] => {
      const scan = { type: 'scan' as const, t, inputs: [0, 1], raws: [sent, 9_000] };
      return [...codec.encode(scan, sent)[0]!];
    };
    clock.pass(100_000);
    receive(frame(5_000, 0));
    clock.pass(10_000);
    receive(frame(7_000, 1));
    clock.pass(1_000);
    receive(frame(16_500, 2));
    // The second came 8 ms late by the board's clock: it is dated 2 ms after the first. The third
    // came 0.5 ms sooner than the first, so the way is now known to be so much shorter.
    expect(events.map(({ t }) => t)).toEqual([100_000, 102_000, 111_000]);
  });

  it('finishes a 14-bit reading when its second half does not come', () => {
    const { clock, events, receive } = setUp([seat({ as: 'control-14' })], withPorts(BOARD));
    clock.pass(1_000);
    receive([0xb0, 5, 64]);
    clock.pass(1_000_000);
    expect(events.map(({ event }) => event)).toMatchObject([{ inputs: [5], raws: [64 << 7] }]);
  });

  it('takes the port that is called exactly so before one that only has it in its name', () => {
    const names = ['Paperboard MIDI 2 25:0', 'Paperboard MIDI 24:0'];
    const { midi } = setUp([seat({ from: { midi: 'paperboard midi' } })], withPorts(...names));
    expect(midi.open.map(({ opened }) => opened)).toEqual(['Paperboard MIDI 24:0']);
  });

  it('gives a port to the seat that says most of its name', () => {
    const names = ['Board:pads-control-14 25:0', 'Board:pads-control 24:0'];
    const { events, receive, midi } = setUp(
      [
        seat({ from: { midi: 'pads-control' }, as: 'control' }),
        seat({ seat: 1, from: { midi: 'pads-control-14' }, as: 'control-14' }),
      ],
      withPorts(...names),
    );
    for (const name of names) {
      const port = midi.open.find(({ opened }) => opened === name)!;
      receive([0xb0, 5, 100], port);
      receive([0xb0, 37, 1], port);
    }
    expect(events.map(({ seat: n }) => n)).toEqual([1, 0, 0]);
  });

  it('says once which ports there are and what was meant, and takes a port that comes later', () => {
    const { midi, events, receive, told } = setUp(
      [seat({ from: { midi: 'papperboard' } })],
      withPorts(OTHER, BOARD),
    );
    midi.second(10);
    expect(told).toHaveLength(1);
    expect(told[0]).toEqual({
      level: 'warn',
      what: 'no MIDI input port has "papperboard" in its name',
      where: 'seat north',
      next: 'Plug it in: it is taken up within a second. Now there are "Foilboard:Foilboard MIDI 1", "Paperboard:Paperboard MIDI 1". Did you mean "Paperboard"?',
    });
    midi.lists.input.push('Papperboard:1 40:0');
    midi.second();
    receive([0xa0, 2, 7]);
    expect(events).toHaveLength(1);
    expect(told).toHaveLength(2);
  });

  it('brings a lost reset at the first look after the port went, and goes on when it is back', () => {
    const { midi, clock, events, receive, text } = setUp([seat()], withPorts(OTHER, BOARD));
    const first = midi.open[0]!;
    clock.pass(1_000_000);
    midi.lists.input.splice(1, 1);
    midi.second();
    expect(events.map(({ event }) => event)).toEqual([
      { type: 'reset', t: 1_000_000, why: 'lost' },
    ]);
    expect(first.destroyed).toBe(true);
    midi.second(10);
    expect(events).toHaveLength(1);
    midi.lists.input.unshift('Paperboard:Paperboard MIDI 1 36:0');
    midi.second();
    receive([0xa0, 2, 7]);
    expect(events).toHaveLength(2);
    expect(text().split('\n')).toEqual([
      'info: seat north: the MIDI port "Paperboard:Paperboard MIDI 1" is open / ',
      'warn: seat north: the MIDI port "Paperboard:Paperboard MIDI 1" has gone / Plug it in again or start it again; it is tried again every second',
      'info: seat north: the MIDI port "Paperboard:Paperboard MIDI 1" is open again / ',
    ]);
  });

  it('notices a port that went and came back between two looks, with its old name and address', () => {
    const { midi, events } = setUp([seat()], withPorts(BOARD));
    midi.second(3);
    expect(events).toEqual([]);
    for (const address of midi.joins!.keys()) midi.joins!.set(address, []);
    const [first] = midi.open;
    midi.second();
    expect(events.map(({ event }) => event)).toMatchObject([{ type: 'reset', why: 'lost' }]);
    expect(first!.destroyed).toBe(true);
    expect(midi.open.map(({ opened }) => opened)).toEqual([BOARD]);
  });

  it('ends what is held when messages got lost because they came too fast, once', () => {
    const { midi, events, text } = setUp([seat()], withPorts(BOARD));
    midi.second(2);
    midi.missed = 12;
    midi.second(3);
    expect(events.map(({ event }) => event)).toMatchObject([{ type: 'reset', why: 'overflow' }]);
    expect(text()).toContain(
      'seat north: 12 MIDI messages came faster than this computer could read them',
    );
    expect(midi.open).toHaveLength(1);
  });

  it('does without knowing who is joined to whom', () => {
    const midi = withPorts(BOARD);
    midi.joins = null;
    const { events } = setUp([seat()], midi);
    midi.second(5);
    expect(events).toEqual([]);
    midi.lists.input.pop();
    midi.second();
    expect(events).toHaveLength(1);
  });

  it('drops what a port had still waiting when it went', () => {
    const { midi, events, receive } = setUp([seat()], withPorts(BOARD));
    const old = midi.open[0]!;
    midi.lists.input.pop();
    midi.second();
    receive([0xa0, 2, 7], old);
    expect(events.map(({ event }) => event)).toMatchObject([{ type: 'reset', why: 'lost' }]);
  });

  it('forgets a message that was cut by unplugging', () => {
    const { midi, events, receive } = setUp([seat()], withPorts(BOARD));
    receive([0xa0, 2]);
    midi.lists.input.pop();
    midi.second();
    midi.lists.input.push(BOARD);
    midi.second();
    receive([7]);
    receive([0xa0, 3, 8]);
    const scans = events.filter(({ event }) => event.type === 'scan');
    expect(scans.map(({ event }) => event)).toMatchObject([{ inputs: [3], raws: [8] }]);
  });

  it('tries again, and says so once, when a port cannot be opened', () => {
    const midi = withPorts(BOARD);
    midi.openFails = true;
    const { told, events, receive } = setUp([seat()], midi);
    midi.second(4);
    expect(told).toHaveLength(1);
    expect(told[0]!.what).toBe('the MIDI port "Paperboard:Paperboard MIDI 1" could not be opened');
    expect(midi.open).toEqual([]);
    midi.openFails = false;
    midi.second();
    receive([0xa0, 3, 8]);
    expect(events).toHaveLength(1);
  });

  it('makes a port of its own, and resets when who joined it goes', () => {
    const midi = new FakeMidi();
    const { events, receive, text } = setUp([seat({ from: { virtual: 'pads' } })], midi);
    expect(midi.lists.output).toEqual(['RtMidi Input Client:pads 128:0']);
    expect(text()).toContain('the MIDI port "pads" is there for other programs to join');
    receive([0xa0, 3, 8]);
    expect(events).toHaveLength(1);
    midi.joins!.set('128:0', ['130:0', '131:0']);
    midi.second();
    expect(events).toHaveLength(1);
    midi.joins!.set('128:0', ['131:0']);
    midi.second();
    expect(events[1]).toMatchObject({ seat: 0, event: { type: 'reset', why: 'lost' } });
    expect(midi.open).toHaveLength(1);
  });

  it('says what to do instead on Windows, which has no virtual ports', () => {
    const midi = new FakeMidi();
    midi.platform = 'win32';
    const { told } = setUp([seat({ from: { virtual: 'pads' } })], midi);
    midi.second(3);
    expect(told).toHaveLength(1);
    expect(told[0]).toMatchObject({ level: 'warn', where: 'seat north' });
    expect(told[0]!.what).toContain('Windows');
    expect(told[0]!.next).toContain('loopback');
    expect(midi.open).toEqual([]);
  });

  it('says once that there is no MIDI system, waits, and goes on when there is one', () => {
    const midi = withPorts(BOARD);
    midi.there = false;
    const { told, done } = setUp([seat(), seat({ seat: 1, seatName: 'south' })], midi);
    midi.second(5);
    expect(told).toHaveLength(1);
    expect(told[0]!.what).toBe('this computer has no MIDI system that can be reached');
    expect(told[0]!.next).toContain('modprobe snd-seq');
    expect(midi.clientsMade).toBe(0);
    expect(done()).toBe(false);
    midi.there = true;
    midi.second();
    expect(midi.open).toHaveLength(1);
  });

  it('brings a lost reset when the whole MIDI system goes', () => {
    const { midi, events } = setUp([seat()], withPorts(BOARD));
    midi.there = false;
    midi.second();
    expect(events.map(({ event }) => event)).toMatchObject([{ type: 'reset', why: 'lost' }]);
  });

  it('tells lost frames with their number, at most every five seconds', () => {
    const { midi, receive, told } = setUp([seat({ as: 'frames' })], withPorts(BOARD));
    const codec = midiWire('frames');
    const send = (sent: number): void => {
      const scan = { type: 'scan' as const, t: sent * 1_000, inputs: [0], raws: [1] };
      receive([...codec.encode(scan, sent)[0]!]);
    };
    const lost = (): string[] => told.map(({ what }) => what).filter((w) => w.includes('lost'));
    send(0);
    send(3);
    midi.second();
    expect(lost()).toEqual(['2 frames of raw pad states got lost on the way']);
    send(5);
    midi.second(4);
    expect(lost()).toHaveLength(1);
    send(9);
    midi.second(1);
    expect(lost()[1]).toBe('4 frames of raw pad states got lost on the way');
    midi.second(20);
    expect(lost()).toHaveLength(2);
  });

  it('tells damaged messages, and once that a port sends what the wire does not carry', () => {
    const { midi, receive, text } = setUp([seat()], withPorts(BOARD));
    receive([0xa0, 5, 0xa0, 5, 6, 0x90, 60, 100]);
    midi.second();
    expect(text()).toContain('1 message from the board came damaged and had to be dropped');
    expect(text()).toContain(
      'this port also sends messages that carry no pad states as "pressure"',
    );
    const before = text();
    for (let i = 0; i < 20; i++) {
      receive([0x90, 60, 100]);
      midi.second();
    }
    expect(text()).toBe(before);
  });

  it('ends what is held, completes, and lets go of every client when closed', async () => {
    const { midi, source, events, done } = setUp(
      [seat(), seat({ seat: 1, from: { virtual: 'pads' } })],
      withPorts(BOARD),
    );
    await source.close();
    expect(events.map(({ seat: n, event }) => [n, event])).toMatchObject([
      [0, { type: 'reset', why: 'end' }],
      [1, { type: 'reset', why: 'end' }],
    ]);
    expect(done()).toBe(true);
    expect(midi.ports.every(({ destroyed }) => destroyed)).toBe(true);
    expect(midi.polling).toBe(false);
    await source.close();
    expect(events).toHaveLength(2);
  });
});
