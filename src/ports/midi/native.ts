import { existsSync, readFileSync } from 'node:fs';
import { Input, Output } from '@julusian/midi';
import { usbOfCard, type UsbUnit } from '../units/usb.js';

/** What is used of a port of the MIDI library; every call may throw. */
export interface NativePort {
  getPortCount(): number;
  getPortName(index: number): string;
  openPort(index: number): void;
  openVirtualPort(name: string): void;
  /** True only for a port opened by `openPort`. */
  isPortOpen(): boolean;
  /** Closes the port and gives the client back. */
  destroy(): void;
}

export interface NativeInput extends NativePort {
  /** True leaves messages of that kind out; SysEx is left out unless told otherwise. */
  ignoreTypes(sysex: boolean, timing: boolean, activeSensing: boolean): void;
  on(event: 'messageBuffer', listener: (seconds: number, bytes: Uint8Array) => void): unknown;
}

export interface NativeOutput extends NativePort {
  sendMessage(bytes: number[]): void;
}

/** The computer's MIDI, so that tests can bring their own. */
export interface MidiNative {
  readonly platform: NodeJS.Platform;
  /** False where making a client is known to fail. */
  present(): boolean;
  input(): NativeInput;
  output(): NativeOutput;
  /** The text of ALSA's list of clients, which says who is joined to whom; else undefined. */
  clients(): string | undefined;
  /** The USB device that an ALSA card is, where it is one and the system tells. */
  usb(card: number): UsbUnit | undefined;
  /** Calls back every `ms` until what it returns is called. */
  every(ms: number, call: () => void): () => void;
}

const SEQUENCER = '/dev/snd/seq';
const CLIENTS = '/proc/asound/seq/clients';

/** RtMidi through @julusian/midi. */
export const realMidi: MidiNative = {
  platform: process.platform,
  // Without the device file ALSA's own library would write to the terminal at each try.
  present: () => process.platform !== 'linux' || existsSync(SEQUENCER),
  input: () => new Input(),
  output: () => new Output(),
  clients() {
    if (process.platform !== 'linux') return undefined;
    try {
      return readFileSync(CLIENTS, 'utf8');
    } catch {
      return undefined;
    }
  },
  usb: (card) => (process.platform === 'linux' ? usbOfCard(card) : undefined),
  every(ms, call) {
    const timer = setInterval(call, ms);
    return () => {
      clearInterval(timer);
    };
  },
};
