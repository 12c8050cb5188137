import type { Tell } from '../contracts.js';
import { midiLink, type MidiTarget } from './link.js';
import type { NativeOutput } from './native.js';
import { midiSystem, type MidiSystem } from './system.js';
import type { MidiBytes } from '../../engine/midi-bytes.js';

export interface MidiSinkOptions {
  /** Who sends, as people know it. */
  readonly where?: string;
  /** What a receiver must hear before anything else; sent again to each that comes later. */
  readonly opening?: () => readonly MidiBytes[];
  readonly system?: MidiSystem;
}

/** Where MIDI messages go. */
export interface MidiSink {
  /** Whether there is a port to send to now. */
  readonly open: boolean;
  /** Sends one whole message at once, or drops it while the port is away. It never throws. */
  send(bytes: MidiBytes): void;
  close(): void;
}

/**
 * Messages to a MIDI port by part of its name, or to all who join a port of our own.
 *
 * A port that is not there yet, or goes away, is looked for once a second and told of once.
 */
export function midiSink(
  target: MidiTarget,
  tell: Tell,
  { where = nameOf(target), opening, system = midiSystem() }: MidiSinkOptions = {},
): MidiSink {
  const link = midiLink<NativeOutput>({
    system,
    direction: 'output',
    target,
    where,
    tell,
    create: () => system.native.output(),
    joined(port) {
      for (const bytes of opening?.() ?? []) port.sendMessage([...bytes]);
    },
    lost: () => undefined,
  });
  return {
    get open() {
      return link.port !== undefined;
    },
    send(bytes) {
      try {
        link.port?.sendMessage([...bytes]);
      } catch {
        link.failed();
      }
    },
    close() {
      link.close();
    },
  };
}

/** A target as people know it. */
export function nameOf(target: MidiTarget): string {
  return 'port' in target ? `MIDI port "${target.port}"` : `own MIDI port "${target.virtual}"`;
}
