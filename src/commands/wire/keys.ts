import type { WireKeyName } from '../../wiring/watch.js';

/** What is needed of a terminal's input; `process.stdin` has it. */
export interface KeyInput {
  isTTY?: boolean;
  setRawMode?(raw: boolean): unknown;
  on(event: 'data', listener: (chunk: Uint8Array | string) => void): unknown;
  off(event: 'data', listener: (chunk: Uint8Array | string) => void): unknown;
  resume(): unknown;
  pause(): unknown;
}

const KEYS: Readonly<Record<string, WireKeyName>> = {
  s: 'skip',
  u: 'back',
  '\b': 'back',
  '\x7f': 'back',
  '\x1b[3~': 'back',
  q: 'quit',
  // In raw mode Ctrl-C and Ctrl-D come as characters.
  '\x03': 'quit',
  '\x04': 'quit',
};

/** Which keys a terminal sent: Backspace and Delete as terminals write them, others are passed over. */
export function keysOf(text: string): WireKeyName[] {
  const typed = text.match(/\x1b(?:\[[0-9;]*[A-Za-z~]|O[A-Z])?|[^]/g) ?? [];
  return typed.flatMap((one) => KEYS[one.toLowerCase()] ?? []);
}

/** Listens to single keys, without Enter; returns what gives the terminal back as it was. */
export function openKeys(input: KeyInput, pressed: (key: WireKeyName) => void): () => void {
  const hear = (chunk: Uint8Array | string): void => {
    const text = typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('latin1');
    for (const key of keysOf(text)) pressed(key);
  };
  input.setRawMode?.(true);
  input.on('data', hear);
  input.resume();
  return () => {
    input.off('data', hear);
    input.setRawMode?.(false);
    input.pause();
  };
}
