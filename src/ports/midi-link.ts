import type { Tell } from './contracts.js';
import { choosePort } from './midi-choose.js';
import type { MidiPort } from './midi-names.js';
import type { NativePort } from './midi-native.js';
import type { Direction, MidiSystem } from './midi-system.js';

/** A port of somebody else's by part of its name, or one of our own that others join. */
export type MidiTarget = { readonly port: string } | { readonly virtual: string };

export interface LinkOptions<Port extends NativePort> {
  readonly system: MidiSystem;
  readonly direction: Direction;
  readonly target: MidiTarget;
  /** Who wants it, as people know it. */
  readonly where: string;
  readonly tell: Tell;
  /** Makes a port that is not open yet. */
  create(): Port;
  /** The port is open, or another program has joined our own one. */
  joined(port: Port): void;
  /** What was joined is there no more. */
  lost(): void;
  /** So many more messages were lost because they came too fast. */
  missed?(count: number): void;
  /** Called at each look, once a second. */
  look?(): void;
}

/** One MIDI port that comes and goes. It never throws. */
export interface MidiLink<Port extends NativePort> {
  /** Undefined while it is away. */
  readonly port: Port | undefined;
  /** To be called when using the port threw: lets go of it, and tries again at the next look. */
  failed(): void;
  close(): void;
}

interface Open<Port> {
  readonly port: Port;
  /** The port of somebody else's; undefined for one of our own. */
  readonly far: MidiPort | undefined;
  /** Our own end, where it can be known. */
  readonly near: MidiPort | undefined;
  peers: ReadonlySet<string>;
  missed: number;
}

/** What RtMidi calls our end of a join. */
const NEAR_END = { input: 'RtMidi Input', output: 'RtMidi Output' } as const;
const AGAIN = 'it is tried again every second';

/** Looks for a port, opens it, notices that it has gone, and takes it up when it is back. */
export function midiLink<Port extends NativePort>(options: LinkOptions<Port>): MidiLink<Port> {
  const { system, direction, target, where, tell } = options;
  const taken = system.taken[direction];
  let open: Open<Port> | undefined;
  let wasOpen = false;
  let said = '';

  function say(level: 'info' | 'warn', what: string, next?: string): void {
    if (said === what) return;
    said = what;
    tell({ level, what, where, ...(next === undefined ? {} : { next }) });
  }

  function look(): void {
    const ports = system.ports(direction);
    if (!ports) {
      if (open) gone(open);
      system.complain(tell);
      return;
    }
    if (open) check(open, ports);
    if (!open) {
      if ('virtual' in target) openOwn(target.virtual);
      else openNamed(target.port, ports);
    }
    options.look?.();
  }

  function check(now: Open<Port>, ports: readonly MidiPort[]): void {
    const joins = system.joins(now.near?.address);
    const peers = joins?.peers;
    if (joins && joins.missed > now.missed) {
      options.missed?.(joins.missed - now.missed);
      now.missed = joins.missed;
    }
    if (now.far) {
      const { id, address } = now.far;
      const here = ports.some((port) => port.id === id);
      const joined = !peers || address === undefined || peers.has(address);
      if (!here || !joined) gone(now);
    } else if (peers) {
      const before = now.peers;
      now.peers = peers;
      if ([...before].some((peer) => !peers.has(peer))) options.lost();
      if ([...peers].some((peer) => !before.has(peer))) options.joined(now.port);
    }
  }

  function gone(now: Open<Port>): void {
    drop();
    options.lost();
    const name = now.far?.name ?? ('virtual' in target ? target.virtual : target.port);
    say('warn', `the MIDI port "${name}" has gone`, `Plug it in again or start it again; ${AGAIN}`);
  }

  function openNamed(part: string, ports: readonly MidiPort[]): void {
    const choice = choosePort(part, direction, ports, taken);
    if (!choice.port) {
      if (!wasOpen) say('warn', choice.what, choice.next);
      return;
    }
    const { name, index } = choice.port;
    const done = openPort(choice.port, NEAR_END[direction], (port) => {
      port.openPort(index);
    });
    if (!done) {
      const next = `Close other programs that may be using it; ${AGAIN}`;
      say('warn', `the MIDI port "${name}" could not be opened`, next);
      return;
    }
    say('info', `the MIDI port "${name}" is ${wasOpen ? 'open again' : 'open'}`, choice.note);
    wasOpen = true;
  }

  function openOwn(name: string): void {
    if (system.native.platform === 'win32') {
      say(
        'warn',
        `Windows lets no program make a MIDI port, so "${name}" is not there`,
        'Add a loopback port in the MIDI settings of Windows or with a loopback MIDI driver, and give its name in the room file instead',
      );
      return;
    }
    const done = openPort(undefined, name, (port) => {
      port.openVirtualPort(name);
    });
    if (done) say('info', `the MIDI port "${name}" is there for other programs to join`);
    else say('warn', `the MIDI port "${name}" could not be made; ${AGAIN}`);
  }

  /** Index and name come from one look; that they still belong together shows once it is open. */
  function openPort(far: MidiPort | undefined, end: string, how: (port: Port) => void): boolean {
    let port: Port | undefined;
    try {
      const made = (port = options.create());
      const near = system.learn(direction, end, () => {
        how(made);
      });
      open = { port: made, far, near, peers: new Set(), missed: 0 };
      if (far && !(made.isPortOpen() && made.getPortName(far.index).startsWith(far.name))) {
        drop();
        return false;
      }
      if (far) taken.add(far.id);
      options.joined(made);
      return true;
    } catch {
      if (open) drop();
      else release(port);
      return false;
    }
  }

  function drop(): void {
    const was = open;
    if (!was) return;
    open = undefined;
    if (was.far) taken.delete(was.far.id);
    release(was.port);
    system.disown(was.near);
  }

  const stop = system.watch(look);
  return {
    get port() {
      return open?.port;
    },
    failed() {
      if (open) gone(open);
    },
    close() {
      stop();
      drop();
    },
  };
}

function release(port: NativePort | undefined): void {
  try {
    port?.destroy();
  } catch {
    // It is gone either way.
  }
}
