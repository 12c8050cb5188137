// A player with a board, and the whole service as a person starts it, on the emulated machine.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { demoUnit } from '../../../dist/demo/demo.js';
import { readingsOf } from '../../../dist/demo/gestures.js';
import { midiWire } from '../../../dist/wire/midi-wires.js';
import { sleep, start, until } from './helpers.mjs';

/** Where the rooms are. */
export const FOLDER = '/tmp/hall';
/** This machine is slow, and shared: nothing here depends on how long something takes. */
export const PATIENCE = 300;

const UNIT = demoUnit(20, 5);
const FRETS = (string) => [string, 4 + string, 8 + string, 12 + string];
/** Strings in the order of the instrument file. */
export const [G2, D2, A1, E1] = [0, 1, 2, 3];

/** What fingers do for one note, in ms: the fret, where there is one, is held until `until`. */
export function plucked(string, fret, at, until) {
  const pluck = { pad: 16 + string, at: at * 1_000, until: (at + 100) * 1_000, strength: 0.9 };
  if (fret === 0) return [pluck];
  const ahead = { pad: FRETS(string)[fret - 1], at: (at - 100) * 1_000, until: until * 1_000 };
  return [{ ...ahead, strength: 1 }, pluck];
}

export function write(name, text) {
  const file = join(FOLDER, name);
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
}

/** Starts pluckwork and waits until it plays. */
export async function service(name, ...args) {
  const main = join(process.cwd(), 'dist/commands/main.js');
  const child = start(name, process.execPath, [main, ...args, '--folder', FOLDER]);
  await until('the service', () => child.output.includes('Playing.'), PATIENCE);
  return child;
}

/** Waits until the service has said something so often. */
export function said(child, words, times = 1) {
  const enough = () => child.output.split(words).length > times;
  return until(`"${words}" (${times})`, enough, PATIENCE);
}

/**
 * A player whose board sends its pads as frames, 50 scans a second. Each bears the board's own time.
 *
 * @param send is given the bytes of each frame
 */
export function boardPlayer(send) {
  const frames = midiWire('frames');
  let sent = 0;
  return {
    /** Plays gestures for so many ms; fingers that are down then stay where they are. */
    async play(gestures, ms) {
      // The made-up readings come every 4 ms. Making them takes this slow machine seconds.
      const scans = [...readingsOf(gestures, UNIT, ms * 1_000, 7)].filter((_, n) => n % 5 === 0);
      const begin = performance.now();
      for (const scan of scans) {
        const wait = scan.t / 1_000 - (performance.now() - begin);
        // Also where it is late: each frame is on its way before the next one is made.
        await sleep(Math.max(0, wait));
        const t = Math.round(performance.now() * 1_000);
        for (const frame of frames.encode({ ...scan, t }, sent++)) send(frame);
      }
    },
  };
}

/** A board of some program, with one MIDI port, "touchboard-pads". */
export function touchboard(name) {
  const args = ['tests/alsa/inside/board.mjs', 'touchboard', 'pads'];
  const child = start(name, process.execPath, args);
  const hex = (frame) => [...frame].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
  return { process: child, ...boardPlayer((frame) => child.stdin.write(`pads ${hex(frame)}\n`)) };
}
