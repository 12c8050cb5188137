import { midiSource, type MidiSeat } from '../../../src/ports/midi/ports.js';
import { MidiSystem } from '../../../src/ports/midi/system.js';
import { briefMemory, type UnitMemory } from '../../../src/ports/units/memory.js';
import type { UsbUnit } from '../../../src/ports/units/usb.js';
import type { Seated } from '../../../src/time/alongside.js';
import type { WireEvent } from '../../../src/wire/scan.js';
import { midiWire } from '../../../src/wire/midi-wires.js';
import { FakeClock, FakeMidi, listener, type FakePort } from './fake.js';

/** Two inputs at rest, and with a finger on the first one. */
const REST = [1_200, 1_300];
const TOUCH = [2_600, 1_300];

export interface Board {
  readonly usb: UsbUnit | undefined;
  readonly raw: string;
  readonly card: number;
  sent: number;
}

/** A computer with a room of seats that all take ports with "paper" in their names. */
export class Hall {
  readonly midi = new FakeMidi();
  readonly clock = new FakeClock();
  readonly talk = listener();
  readonly events: Seated<WireEvent>[] = [];
  readonly memory: UnitMemory;
  source: { close(): Promise<void> } | undefined;
  private nextProgram = 150;

  constructor(memory: UnitMemory = briefMemory()) {
    this.memory = memory;
  }

  play(names: readonly string[], over: { as?: MidiSeat['as']; absent?: string[] } = {}): this {
    const { as = 'frames', absent = [] } = over;
    const source = midiSource({
      seats: names.map((seatName, seat) => ({ seat, seatName, from: { midi: 'paper' }, as })),
      clock: this.clock,
      tell: this.talk.tell,
      memory: this.memory,
      absent,
      system: new MidiSystem(this.midi),
    });
    source.events.subscribe((event) => this.events.push(event));
    this.source = source;
    return this;
  }

  /** A board with a USB serial number and socket, or, without a socket, a port of some program. */
  plug(serial: string | null, socket?: string, card?: number): Board {
    const own = card ?? [2, 3, 4, 5, 6, 7].find((one) => !this.midi.cards.has(one))!;
    const usb = socket === undefined ? undefined : { usb: '1209:a1b2', serial, socket };
    const client = usb ? 16 + 4 * own : this.nextProgram++;
    const raw = `Paperboard:Paperboard MIDI 1 ${String(client)}:0`;
    if (usb) this.midi.cards.set(own, usb);
    this.midi.lists.input.push(raw);
    return { usb, raw, card: own, sent: 0 };
  }

  unplug({ raw, card, usb }: Board): void {
    this.midi.lists.input.splice(this.midi.lists.input.indexOf(raw), 1);
    if (usb) this.midi.cards.delete(card);
    const address = raw.slice(raw.lastIndexOf(' ') + 1);
    for (const [own, peers] of this.midi.joins!) {
      if (peers.includes(address)) this.midi.joins!.set(own, []);
    }
  }

  second(times = 1): void {
    this.midi.second(times);
  }

  /** Lets the board send frames every 4 ms for so many ms. */
  send(board: Board, raws: readonly number[], ms: number): void {
    const port = this.portOf(board);
    for (let at = 0; at < ms; at += 4) {
      this.clock.pass(4_000);
      if (!port) continue;
      const scan = { type: 'scan' as const, t: this.clock.now(), inputs: [0, 1], raws };
      const bytes = Uint8Array.from(midiWire('frames').encode(scan, board.sent++)[0]!);
      for (const call of port.listeners) call(0, bytes);
    }
  }

  rest(board: Board, ms = 500): void {
    this.send(board, REST, ms);
  }

  touch(board: Board, ms = 100): void {
    this.rest(board);
    this.send(board, TOUCH, ms);
    this.rest(board, 40);
  }

  portOf({ raw }: Board): FakePort | undefined {
    return this.midi.open.find(({ opened }) => opened === raw);
  }

  /** The seats at which a board is heard now, with nobody touching it. */
  seatsOf(board: Board): number[] {
    const before = this.events.length;
    this.rest(board, 8);
    const heard = this.events.slice(before).filter(({ event }) => event.type === 'scan');
    return [...new Set(heard.map(({ seat }) => seat))];
  }

  resets(): string[] {
    return this.events.flatMap(({ seat, event }) =>
      event.type === 'reset' ? [`${String(seat)} ${event.why}`] : [],
    );
  }

  /** What was told of a seat, the words alone. */
  said(seat: string): string[] {
    return this.talk.told.filter(({ where }) => where === `seat ${seat}`).map(({ what }) => what);
  }
}
