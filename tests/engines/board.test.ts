import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readFrame, writeFrame } from '../../src/wire/frame.js';
import { midiWire } from '../../src/wire/midi-wires.js';
import type { Scan } from '../../src/wire/scan.js';

const BOARD = join(import.meta.dirname, '../../config/board');
const STAND_IN = join(import.meta.dirname, 'board');

let folder: string;

/** Fails where g++ is missing: this folder's tests need Debian's g++. */
function compile(main: string): string {
  const program = join(folder, main.replace('.cpp', ''));
  const flags = ['-std=c++11', '-O1', '-Wall', '-Wextra', '-Werror', '-I', BOARD, '-I', STAND_IN];
  execFileSync('g++', [...flags, '-include', 'stdint.h', join(STAND_IN, main), '-o', program]);
  return program;
}

/** The MIDI bytes in USB-MIDI packets, by USB Device Class Definition for MIDI Devices 1.0, table 4-1. */
function fromUsb(packets: Uint8Array): Uint8Array {
  const bytes: number[] = [];
  for (let at = 0; at < packets.length; at += 4) {
    const length = { 4: 3, 5: 1, 6: 2, 7: 3 }[packets[at]!];
    if (!length) throw new Error(`packet header ${String(packets[at])} is no SysEx on cable 0`);
    bytes.push(...packets.subarray(at + 1, at + 1 + length));
  }
  return Uint8Array.from(bytes);
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'board-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true });
});

describe('frame.h, compiled by g++', () => {
  const raws = fc.array(fc.nat(16383), { maxLength: 20 });
  const frame = fc.record({
    sequence: fc.nat(127),
    time: fc.nat(2 ** 28 - 1),
    first: fc.nat(108),
    raws,
  });
  const frames = fc.sample(frame, { numRuns: 500, seed: 7 });
  let lines: string[];

  beforeAll(() => {
    const program = compile('frame-main.cpp');
    const input = frames.map((f) => [f.sequence, f.time, f.first, ...f.raws].join(' ')).join('\n');
    lines = execFileSync(program, { input: `${input}\n`, encoding: 'utf8' })
      .trimEnd()
      .split('\n');
  });

  it('writes byte for byte what our own encoder writes, and our decoder reads it', () => {
    expect(lines).toHaveLength(frames.length);
    lines.forEach((line, i) => {
      const bytes = Buffer.from(line.split(' ')[0]!, 'hex');
      expect(bytes).toEqual(Buffer.from(writeFrame(frames[i]!)));
      expect(readFrame(bytes.subarray(1, -1))).toEqual(frames[i]);
    });
  });

  it('cuts it into USB-MIDI packets that give it back', () => {
    for (const line of lines) {
      const [frameHex, packets] = line.split(' ') as [string, string];
      expect(Buffer.from(fromUsb(Buffer.from(packets, 'hex'))).toString('hex')).toBe(frameHex);
    }
  });

  it('takes time and sequence modulo their size, and sends too high a level as the highest', () => {
    const input = `300 4294967295 0 65535\n`;
    const hex = execFileSync(join(folder, 'frame-main'), { input, encoding: 'utf8' }).split(
      ' ',
    )[0]!;
    expect(readFrame(Buffer.from(hex, 'hex').subarray(1, -1))).toEqual({
      sequence: 300 % 128,
      time: 2 ** 28 - 1,
      first: 0,
      raws: [16383],
    });
  });

  it('gives the frame that README.md shows', () => {
    const shown = /^ *(F0 7D .*F7)$/m.exec(readFileSync(join(BOARD, 'README.md'), 'utf8'))![1]!;
    const levels = Array.from({ length: 20 }, (_, i) => 100 + i).join(' ');
    const input = `0 4000 0 ${levels}\n`;
    const hex = execFileSync(join(folder, 'frame-main'), { input, encoding: 'utf8' }).split(
      ' ',
    )[0]!;
    expect(shown.replaceAll(' ', '').toLowerCase()).toBe(hex);
  });
});

describe('board.ino, on a stand-in for the pins (not a real board)', () => {
  const MICROS_BEFORE_WRAP = 2 ** 32 - 500_000;

  function run(readNanos: number, powerUp = 0, shorted = -1): { scans: Scan[]; lost: number } {
    const args = [readNanos, powerUp, shorted].map(String);
    const packets = execFileSync(join(folder, 'board-main'), args, { maxBuffer: 1e7 });
    const codec = midiWire('frames');
    const { scans, counts } = codec.decode(codec.begin(), 2_000_000, fromUsb(packets));
    const { lost, ...others } = counts;
    expect(Object.values(others)).toEqual(Object.values(others).map(() => 0));
    return { scans: [...scans], lost };
  }

  // Scans before and within the touch that board-main.cpp makes, at 0.2 s and 0.5 s.
  const resting = 50;
  const held = 125;

  beforeAll(() => {
    compile('board-main.cpp');
  });

  it.each([
    ['a fast board', 100, 0],
    ['a slow board', 1500, 0],
    ['a board whose microseconds overflow', 400, MICROS_BEFORE_WRAP],
  ])('%s sends 250 scans a second of all 20 pads', (_, readNanos, powerUp) => {
    const { scans, lost } = run(readNanos, powerUp);
    expect(lost).toBe(0);
    expect(scans.length).toBeGreaterThanOrEqual(248);
    expect(scans.length).toBeLessThanOrEqual(250);
    for (const scan of scans) expect(scan.inputs).toEqual(Array.from({ length: 20 }, (_, i) => i));
  });

  it('shows larger pads as higher values, each in its own place', () => {
    const { scans } = run(100);
    const { raws } = scans[resting]!;
    for (let pad = 1; pad < 20; pad++) expect(raws[pad]).toBeGreaterThan(raws[pad - 1]!);
  });

  it('shows the touched pads rise, and no other', () => {
    const { scans } = run(100);
    const before = scans[resting]!.raws;
    const during = scans[held]!.raws;
    for (let pad = 0; pad < 20; pad++) {
      const change = during[pad]! - before[pad]!;
      if (pad === 5 || pad === 18) expect(change).toBeGreaterThan(100);
      else expect(Math.abs(change)).toBeLessThanOrEqual(1);
    }
  });

  it.each([3, 17])('keeps its pace with pad %i shorted to ground', (shorted) => {
    const { scans } = run(200, 0, shorted);
    expect(scans.length).toBeGreaterThanOrEqual(248);
    const { raws } = scans[resting]!;
    expect(raws[shorted]).toBe(Math.max(...raws));
  });
});
