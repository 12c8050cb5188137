import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import { midiCodec, type MidiReader } from './midi-codec.js';
import { addReading, eachReading } from './readings.js';
import type { Scan } from './scan.js';

const PAIRS = 32;
const FULL = 16383;

/** How long an MSB waits for its LSB. A pair takes 2 ms on a 31.25 kbaud cable, far less over USB. */
export const PAIR_WITHIN: Micros = 20 * MILLISECOND;

interface Pairs {
  /** The latest MSB of each pair; −1 before the first. */
  readonly msb: Int16Array;
  /** When the MSB came that still waits for its LSB; NEVER where none waits. */
  readonly since: Float64Array;
  waiting: number;
  /** Whether this sender sends LSBs at all; undefined until it shows. */
  lsbs: boolean | undefined;
}

/**
 * 14-bit controllers. Input n from 0 to 31: controller n is its MSB, controller n + 32 its LSB.
 *
 * An MSB resets the LSB to 0 and is valid alone, and an LSB may come alone (MIDI 1.0 Detailed
 * Specification 4.2.1, p. 12). Read to the letter, each pair would first show a value up to 127
 * counts too low, which on a pad looks like a lift or a touch. So a reading is made
 * - at the LSB, of both;
 * - at the MSB, with LSB 0, from a sender that never sent an LSB (known after one repeat of an MSB
 *   or one wait that was in vain; its first readings wait for that);
 * - after `PAIR_WITHIN`, or at the pair's next MSB, with LSB 0, where a sender of LSBs left one out.
 */
const reader: MidiReader<Pairs> = {
  wire: 'control-14',
  full: FULL,
  inputs: PAIRS,
  begin: () => ({
    msb: new Int16Array(PAIRS).fill(-1),
    since: new Float64Array(PAIRS).fill(NEVER),
    waiting: 0,
    lsbs: undefined,
  }),
  encode: (scan) =>
    eachReading(scan, PAIRS, FULL, (input, raw) => [
      Uint8Array.of(0xb0, input, raw >> 7),
      Uint8Array.of(0xb0, input + PAIRS, raw & 0x7f),
    ]).flat(),
  read(own, t, message, scans, counts) {
    if (message.type !== 'control' || message.controller >= 2 * PAIRS) counts.foreign++;
    else if (message.controller < PAIRS) takeMsb(own, t, message.controller, message.value, scans);
    else if (own.msb[message.controller - PAIRS]! < 0) counts.orphans++;
    else takeLsb(own, t, message.controller - PAIRS, message.value, scans);
  },
  settle(own, t, scans) {
    if (own.waiting === 0) return NEVER;
    let wake = NEVER;
    for (let n = 0; n < PAIRS; n++) {
      const due = own.since[n]! + PAIR_WITHIN;
      if (due > t) {
        if (due < wake) wake = due;
        continue;
      }
      own.lsbs ??= false;
      release(own, t, n, 0, scans);
    }
    return wake;
  },
};

export const control14 = midiCodec(reader);

function takeMsb(own: Pairs, t: Micros, n: number, msb: number, scans: Scan[]): void {
  if (own.since[n] !== NEVER) {
    own.lsbs ??= false;
    release(own, t, n, 0, scans);
  }
  own.msb[n] = msb;
  if (own.lsbs === false) {
    addReading(scans, t, n, msb << 7);
  } else {
    own.since[n] = t;
    own.waiting++;
  }
}

function takeLsb(own: Pairs, t: Micros, n: number, lsb: number, scans: Scan[]): void {
  own.lsbs = true;
  release(own, t, n, lsb, scans);
}

function release(own: Pairs, t: Micros, n: number, lsb: number, scans: Scan[]): void {
  if (own.since[n] !== NEVER) own.waiting--;
  own.since[n] = NEVER;
  addReading(scans, t, n, (own.msb[n]! << 7) | lsb);
}
