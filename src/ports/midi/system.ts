import { readJoins, type Joins } from './joins.js';
import { readPorts, type MidiPort } from './names.js';
import { realMidi, type MidiNative, type NativePort } from './native.js';
import type { Tell } from '../contracts.js';
import { cardOf, type UnitId } from '../units/id.js';

export type Direction = 'input' | 'output';

/** How often the ports are looked at: a cable pulled is noticed in half the two seconds promised. */
export const POLL_MS = 1_000;

/**
 * The MIDI ports of this computer, looked at once a second by one client for each direction.
 *
 * There is no call-back for plugging on any of the systems, so looking is the only way. Ports that
 * this process itself made are left out of the lists: nobody wants to hear their own instrument's
 * notes as pads.
 */
export class MidiSystem {
  readonly native: MidiNative;
  /** Ids of ports in use, so that two seats with one part of a name get two ports. */
  readonly taken: Readonly<Record<Direction, Set<string>>> = {
    input: new Set(),
    output: new Set(),
  };
  private readonly scouts: Record<Direction, NativePort | undefined> = {
    input: undefined,
    output: undefined,
  };
  /** What the last look found: null is no MIDI, undefined is not looked yet. */
  private readonly seen: Record<Direction, MidiPort[] | null | undefined> = {
    input: undefined,
    output: undefined,
  };
  private known: Map<string, Joins> | null | undefined;
  private readonly own = new Set<string>();
  private readonly watchers = new Set<() => void>();
  private stop: () => void = () => undefined;
  private complained = false;

  constructor(native: MidiNative = realMidi) {
    this.native = native;
  }

  /** The ports there are, without this process's own; undefined where there is no MIDI system. */
  ports(direction: Direction): MidiPort[] | undefined {
    return this.all(direction)?.filter(({ id }) => !this.own.has(id));
  }

  /** What is joined to the port at this address; undefined where that cannot be known. */
  joins(address: string | undefined): Joins | undefined {
    if (address === undefined) return undefined;
    if (this.known === undefined) {
      const text = this.native.clients();
      this.known = text === undefined ? null : readJoins(text);
    }
    return this.known?.get(address);
  }

  /** What tells the unit at this address from others of its name; null where nothing does. */
  identity(address: string | undefined): UnitId | null {
    if (address === undefined || this.joins(address)?.kernel !== true) return null;
    const at = cardOf(address);
    const usb = at && this.native.usb(at.card);
    return usb ? { ...usb, midi: at.midi } : null;
  }

  /** Calls `look` now and once a second, until what it returns is called. */
  watch(look: () => void): () => void {
    this.forget();
    if (this.watchers.size === 0) {
      this.stop = this.native.every(POLL_MS, () => {
        this.forget();
        for (const watcher of [...this.watchers]) watcher();
      });
    }
    this.watchers.add(look);
    look();
    return () => {
      if (!this.watchers.delete(look) || this.watchers.size > 0) return;
      this.stop();
      this.release();
    };
  }

  /**
   * Runs `open`, which makes a port of this process, and finds out which one that is by what came
   * to the list of the other direction.
   *
   * @param name the end of its name
   */
  learn(direction: Direction, name: string, open: () => void): MidiPort | undefined {
    const other = direction === 'input' ? 'output' : 'input';
    this.forget();
    const before = new Set(this.all(other)?.map(({ id }) => id));
    open();
    this.forget();
    const fresh = this.all(other)?.filter((port) => !before.has(port.id)) ?? [];
    const named = fresh.filter((port) => port.name.endsWith(name));
    if (named.length !== 1) return undefined;
    this.own.add(named[0]!.id);
    return named[0];
  }

  /** To be called when a learned port is closed: another program may get its name and address. */
  disown(port: MidiPort | undefined): void {
    if (port) this.own.delete(port.id);
    this.forget();
  }

  /** Says once that there is no MIDI here. */
  complain(tell: Tell): void {
    if (this.complained) return;
    this.complained = true;
    tell({ level: 'warn', where: 'MIDI', ...noMidi(this.native.platform) });
  }

  /** Lets go of the clients that look, so that a process that only lists ports can end. */
  release(): void {
    for (const direction of ['input', 'output'] as const) {
      try {
        this.scouts[direction]?.destroy();
      } catch {
        // It is gone either way.
      }
      this.scouts[direction] = undefined;
    }
    this.forget();
  }

  private forget(): void {
    this.seen.input = undefined;
    this.seen.output = undefined;
    this.known = undefined;
  }

  private all(direction: Direction): MidiPort[] | undefined {
    const seen = this.seen[direction];
    if (seen !== undefined) return seen ?? undefined;
    const found = this.look(direction);
    this.seen[direction] = found ?? null;
    return found;
  }

  private look(direction: Direction): MidiPort[] | undefined {
    try {
      if (!this.native.present()) return undefined;
      const scout = (this.scouts[direction] ??= this.native[direction]());
      const count = scout.getPortCount();
      return readPorts(Array.from({ length: count }, (_, i) => scout.getPortName(i)));
    } catch {
      this.scouts[direction] = undefined;
      return undefined;
    }
  }
}

/** Why there is no MIDI, and what can be done. */
export function noMidi(platform: NodeJS.Platform): { what: string; next: string } {
  const others = 'everything that needs no MIDI goes on';
  return {
    what: 'this computer has no MIDI system that can be reached',
    next:
      platform === 'linux'
        ? `Load the sound system's sequencer ("sudo modprobe snd-seq") and let yourself use it (group "audio"); ports are then found within a second. Until then ${others}`
        : `Restart the computer's sound service or the computer; ${others}`,
  };
}

let shared: MidiSystem | undefined;

/** The one of this process. */
export function midiSystem(): MidiSystem {
  return (shared ??= new MidiSystem());
}
