import type { MidiPort } from './names.js';
import type { NativePort } from './native.js';
import type { Direction, MidiSystem } from './system.js';

/** A port that is open: one of somebody else's, or one of our own that others join. */
export interface OpenMidi<Port extends NativePort> {
  readonly port: Port;
  /** The port of somebody else's; undefined for one of our own. */
  readonly far: MidiPort | undefined;
  /** What can be known of it at this look. */
  look(ports: readonly MidiPort[]): PortLook;
  /** Gives the port and its client back. */
  close(): void;
}

/** What one look, once a second, shows of an open port. */
export interface PortLook {
  /** Somebody else's port is not there any more, or is no longer joined to our end. */
  readonly gone: boolean;
  /** Another program joined, or left, our own port. */
  readonly joined: boolean;
  readonly left: boolean;
  /** So many more messages were lost because they came too fast. */
  readonly missed: number;
}

/** What RtMidi calls our end of a join. */
const NEAR_END = { input: 'RtMidi Input', output: 'RtMidi Output' } as const;

/** Opens somebody else's port; undefined where that does not work. It never throws. */
export function openFar<Port extends NativePort>(
  system: MidiSystem,
  direction: Direction,
  far: MidiPort,
  create: () => Port,
): OpenMidi<Port> | undefined {
  const open = openPort(system, direction, far, NEAR_END[direction], create, (port) => {
    port.openPort(far.index);
  });
  // Index and name come from one look; that they still belong together shows once it is open.
  if (!open || stillThat(open.port, far)) return open;
  open.close();
  return undefined;
}

/** Makes a port of our own; undefined where that does not work. It never throws. */
export function openOwn<Port extends NativePort>(
  system: MidiSystem,
  direction: Direction,
  name: string,
  create: () => Port,
): OpenMidi<Port> | undefined {
  return openPort(system, direction, undefined, name, create, (port) => {
    port.openVirtualPort(name);
  });
}

function openPort<Port extends NativePort>(
  system: MidiSystem,
  direction: Direction,
  far: MidiPort | undefined,
  end: string,
  create: () => Port,
  how: (port: Port) => void,
): OpenMidi<Port> | undefined {
  let made: Port | undefined;
  let near: MidiPort | undefined;
  try {
    const port = (made = create());
    near = system.learn(direction, end, () => {
      how(port);
    });
  } catch {
    release(made);
    return undefined;
  }
  const taken = system.taken[direction];
  const port = made;
  if (far) taken.add(far.id);
  let peers: ReadonlySet<string> = new Set();
  let missed = 0;
  let open = true;
  return {
    port,
    far,
    look(ports) {
      const joins = system.joins(near?.address);
      const lost = Math.max(0, (joins?.missed ?? 0) - missed);
      missed += lost;
      if (far) {
        const here = ports.some(({ id }) => id === far.id);
        const apart = joins && far.address !== undefined && !joins.peers.has(far.address);
        return { gone: !here || apart === true, joined: false, left: false, missed: lost };
      }
      const [before, now] = [peers, joins?.peers ?? peers];
      peers = now;
      const left = [...before].some((peer) => !now.has(peer));
      const joined = [...now].some((peer) => !before.has(peer));
      return { gone: false, joined, left, missed: lost };
    },
    close() {
      if (!open) return;
      open = false;
      if (far) taken.delete(far.id);
      release(port);
      system.disown(near);
    },
  };
}

function stillThat(port: NativePort, far: MidiPort): boolean {
  try {
    return port.isPortOpen() && port.getPortName(far.index).startsWith(far.name);
  } catch {
    return false;
  }
}

function release(port: NativePort | undefined): void {
  try {
    port?.destroy();
  } catch {
    // It is gone either way.
  }
}
