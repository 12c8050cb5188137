import { midiSystem, noMidi, type MidiSystem } from './system.js';
import { alikeAmong, idWords } from '../units/id.js';

export { midiEngine, type MidiEngineOptions } from './engine.js';
export type { MidiTarget } from './link.js';
export { midiSink, type MidiSink, type MidiSinkOptions } from './sink.js';
export type { MidiSeat } from './seat.js';
export { midiSource, type MidiSource, type MidiSourceOptions } from './source.js';

/** The MIDI ports of this computer. */
export interface MidiPortList {
  readonly available: boolean;
  /** Why there is no MIDI, where there is none, and what to do. */
  readonly reason?: string;
  /** Names of the ports that can be listened to. */
  readonly inputs: readonly string[];
  /** What tells each input from others of its name, in words; empty where nothing does. */
  readonly marks: readonly string[];
  /** Names of the ports that can be sent to. */
  readonly outputs: readonly string[];
}

/** Lists the MIDI ports by the names that room files may use. It never throws. */
export function listMidiPorts(system: MidiSystem = midiSystem()): MidiPortList {
  let inputs: readonly string[] | undefined;
  let outputs: readonly string[] | undefined;
  let marks: readonly string[] = [];
  // Watched only while it is read, so that the clients that look are given back.
  system.watch(() => {
    const found = system.ports('input');
    const ids = found?.map(({ address }) => system.identity(address)) ?? [];
    const alike = new Set(alikeAmong(ids.filter((id) => id !== null)));
    inputs = found?.map(({ name }) => name);
    marks = ids.map((id) => idWords(id, alike));
    outputs = system.ports('output')?.map(({ name }) => name);
  })();
  if (inputs && outputs) return { available: true, inputs, marks, outputs };
  const { what, next } = noMidi(system.native.platform);
  return { available: false, reason: `${what}. ${next}`, inputs: [], marks: [], outputs: [] };
}

/** Whether this computer has MIDI at all. */
export function midiAvailable(system: MidiSystem = midiSystem()): boolean {
  return listMidiPorts(system).available;
}
