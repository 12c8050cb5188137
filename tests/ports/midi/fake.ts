import type { MidiNative, NativeInput, NativeOutput } from '../../../src/ports/midi/native.js';
import type { UsbUnit } from '../../../src/ports/units/usb.js';
import type { LiveClock } from '../../../src/ports/live-clock.js';
import type { Notice } from '../../../src/ports/contracts.js';
import type { Micros } from '../../../src/time/micros.js';

type Listener = (seconds: number, bytes: Uint8Array) => void;

/** A port as the fake made it for the code under test. */
export interface FakePort {
  readonly direction: 'input' | 'output';
  opened: string | undefined;
  destroyed: boolean;
  readonly ignored: boolean[][];
  readonly sent: number[][];
  readonly listeners: Listener[];
  /** Set to make every use of it throw, as the library does when the driver fails. */
  broken: boolean;
}

/**
 * A computer's MIDI without one: it lists ports as ALSA does (`client:port` behind the name, own
 * ports in the other direction's list), and time passes only when `second()` is called.
 */
export class FakeMidi implements MidiNative {
  platform: NodeJS.Platform = 'linux';
  there = true;
  /** Raw names, as RtMidi gives them. */
  readonly lists = { input: [] as string[], output: [] as string[] };
  readonly ports: FakePort[] = [];
  /** Addresses of our ends (`client:port`) to those they are joined to; null: nothing is known. */
  joins: Map<string, string[]> | null = new Map();
  /** How many messages each of our ends has missed. */
  missed = 0;
  openFails = false;
  /** What the cards are, by their numbers: the kernel's clients 16 + 4 · card and on are theirs. */
  readonly cards = new Map<number, UsbUnit>();
  clientsMade = 0;
  private readonly timers = new Set<() => void>();
  private nextClient = 128;

  present(): boolean {
    return this.there;
  }

  input(): NativeInput {
    return this.make('input');
  }

  output(): NativeOutput {
    return this.make('output');
  }

  clients(): string | undefined {
    if (!this.joins) return undefined;
    const cards = [...this.cards.keys()].map(
      (card) =>
        `Client  ${String(16 + 4 * card)} : "card" [Kernel Legacy]\n  Port   0 : "z" (RWeX)\n`,
    );
    const own = [...this.joins].map(([address, peers]) => {
      const [client, port] = address.split(':');
      const to = peers.length > 0 ? `    Connected From: ${peers.join(', ')}\n` : '';
      return `Client ${client!} : "x" [User Legacy]\n  Port   ${port!} : "y" (-We-)\n${to}  Input pool :\n    Alloc failures     : ${String(this.missed)}\n`;
    });
    return [...cards, ...own].join('');
  }

  usb(card: number): UsbUnit | undefined {
    return this.cards.get(card);
  }

  every(_ms: number, call: () => void): () => void {
    this.timers.add(call);
    return () => this.timers.delete(call);
  }

  get polling(): boolean {
    return this.timers.size > 0;
  }

  /** Lets a second pass. */
  second(times = 1): void {
    for (let i = 0; i < times; i++) for (const call of [...this.timers]) call();
  }

  /** The ports that are open now. */
  get open(): FakePort[] {
    return this.ports.filter((port) => port.opened !== undefined && !port.destroyed);
  }

  private make(direction: 'input' | 'output'): NativeInput & NativeOutput {
    if (!this.there) throw new Error('Failed to initialise RtMidi');
    this.clientsMade++;
    const list = this.lists[direction];
    const others = this.lists[direction === 'input' ? 'output' : 'input'];
    const kind = direction === 'input' ? 'RtMidi Input' : 'RtMidi Output';
    const state: FakePort = {
      direction,
      opened: undefined,
      destroyed: false,
      ignored: [],
      sent: [],
      listeners: [],
      broken: false,
    };
    this.ports.push(state);
    let own = '';
    const appear = (name: string, peers: string[]): void => {
      const address = `${String(this.nextClient++)}:0`;
      own = `${kind} Client:${name} ${address}`;
      others.push(own);
      this.joins?.set(address, peers);
    };
    return {
      getPortCount: () => list.length,
      getPortName: (index) => list[index] ?? '',
      openPort: (index) => {
        if (this.openFails) throw new Error('Internal RtMidi error');
        const name = list[index];
        if (name === undefined) throw new RangeError('Invalid MIDI port number');
        state.opened = name;
        appear(kind, [name.slice(name.lastIndexOf(' ') + 1)]);
      },
      openVirtualPort: (name) => {
        if (this.openFails) throw new Error('Internal RtMidi error');
        state.opened = name;
        appear(name, []);
      },
      isPortOpen: () => state.opened !== undefined && !state.destroyed,
      destroy: () => {
        state.destroyed = true;
        if (others.includes(own)) others.splice(others.indexOf(own), 1);
        this.joins?.delete(own.slice(own.lastIndexOf(' ') + 1));
      },
      ignoreTypes: (...types) => state.ignored.push(types),
      on: (_event, listener) => state.listeners.push(listener),
      sendMessage: (bytes) => {
        if (state.broken) throw new Error('Internal RtMidi error');
        state.sent.push(bytes);
      },
    };
  }
}

/** A clock whose time the test sets; alarms ring when `pass` reaches them. */
export class FakeClock implements LiveClock {
  private time: Micros = 0;
  private latest: Micros = 0;
  private readonly alarms = new Set<{ at: Micros; ring: () => void }>();

  now(): Micros {
    return this.time;
  }

  stamp(t: Micros = this.time): Micros {
    return (this.latest = Math.max(this.latest, Math.min(t, this.time)));
  }

  alarm(at: Micros, ring: () => void): () => void {
    const alarm = { at, ring };
    if (at !== Infinity) this.alarms.add(alarm);
    return () => this.alarms.delete(alarm);
  }

  pass(micros: Micros): void {
    this.time += micros;
    for (const alarm of [...this.alarms]) {
      if (alarm.at > this.time) continue;
      this.alarms.delete(alarm);
      this.latest = Math.max(this.latest, alarm.at);
      alarm.ring();
    }
  }
}

/** Keeps what people were told. */
export function listener(): { told: Notice[]; tell: (notice: Notice) => void; text(): string } {
  const told: Notice[] = [];
  return {
    told,
    tell: (notice) => told.push(notice),
    text: () =>
      told.map((n) => `${n.level}: ${n.where ?? ''}: ${n.what} / ${n.next ?? ''}`).join('\n'),
  };
}
