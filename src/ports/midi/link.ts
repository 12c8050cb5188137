import type { Tell } from '../contracts.js';
import { choosePort } from './choose.js';
import type { MidiPort } from './names.js';
import type { NativePort } from './native.js';
import { openFar, openOwn, type OpenMidi } from './open.js';
import type { Direction, MidiSystem } from './system.js';

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

const AGAIN = 'it is tried again every second';

/**
 * Looks for a port, opens it, notices that it has gone, and takes it up when it is back. Seats whose
 * units have ports of their own are `midiUnits`' business.
 */
export function midiLink<Port extends NativePort>(options: LinkOptions<Port>): MidiLink<Port> {
  const { system, direction, target, where, tell } = options;
  let open: OpenMidi<Port> | undefined;
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
      if ('virtual' in target) makeOwn(target.virtual);
      else openNamed(target.port, ports);
    }
    options.look?.();
  }

  function check(now: OpenMidi<Port>, ports: readonly MidiPort[]): void {
    const { gone: isGone, joined, left, missed } = now.look(ports);
    if (missed > 0) options.missed?.(missed);
    if (isGone) {
      gone(now);
      return;
    }
    if (left) options.lost();
    if (joined) hail(now);
  }

  function gone(now: OpenMidi<Port>): void {
    open = undefined;
    now.close();
    options.lost();
    const name = now.far?.name ?? ('virtual' in target ? target.virtual : target.port);
    say('warn', `the MIDI port "${name}" has gone`, `Plug it in again or start it again; ${AGAIN}`);
  }

  function openNamed(part: string, ports: readonly MidiPort[]): void {
    const choice = choosePort(part, direction, ports, system.taken[direction]);
    if (!choice.port) {
      if (!wasOpen) say('warn', choice.what, choice.next);
      return;
    }
    const { name } = choice.port;
    open = openFar(system, direction, choice.port, () => options.create());
    if (!open || !hail(open)) {
      const next = `Close other programs that may be using it; ${AGAIN}`;
      say('warn', `the MIDI port "${name}" could not be opened`, next);
      return;
    }
    say('info', `the MIDI port "${name}" is ${wasOpen ? 'open again' : 'open'}`, choice.note);
    wasOpen = true;
  }

  function makeOwn(name: string): void {
    if (system.native.platform === 'win32') {
      say(
        'warn',
        `Windows lets no program make a MIDI port, so "${name}" is not there`,
        'Add a loopback port in the MIDI settings of Windows or with a loopback MIDI driver, and give its name in the room file instead',
      );
      return;
    }
    open = openOwn(system, direction, name, () => options.create());
    if (open && hail(open))
      say('info', `the MIDI port "${name}" is there for other programs to join`);
    else say('warn', `the MIDI port "${name}" could not be made; ${AGAIN}`);
  }

  /** Says to whoever listens there what they must hear first; lets go of a port that takes nothing. */
  function hail(now: OpenMidi<Port>): boolean {
    try {
      options.joined(now.port);
      return true;
    } catch {
      open = undefined;
      now.close();
      return false;
    }
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
      open?.close();
      open = undefined;
    },
  };
}
