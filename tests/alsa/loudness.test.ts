import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Loudness } from '../../src/engine/builtin/output.js';
import type { Notice } from '../../src/ports/contracts.js';
import { ebur128OfWav, type Heard } from '../engines/ebur128.js';
import { runInMachine, type MachineRun } from './machine.js';

/** What inside/loudness.mjs writes; a number that JSON does not know, such as −Infinity, is null. */
interface Report {
  readonly before: Loudness | null;
  readonly words: readonly { readonly at: number; readonly loudness: Loudness }[];
  readonly last: Loudness;
  readonly told: readonly Notice[];
}

let machine: MachineRun;
let report: Report;
let heard: Heard;

beforeAll(async () => {
  machine = await runInMachine(['node', 'tests/alsa/inside/loudness.mjs'], { timeout: 300 });
  expect(machine.code, machine.output).toBe(0);
  report = (await machine.json('loudness.json')) as Report;
  heard = ebur128OfWav(readFileSync(join(machine.outDir, 'heard.wav')));
});
afterAll(() => machine.discard());

describe('how loud the built-in engine is on a real sound card', () => {
  it('is told a few times a second, and not before anything was heard', () => {
    expect(report.before).toBeNull();
    const { words } = report;
    const seconds = (words.at(-1)!.at - words[0]!.at) / 1_000;
    expect(words.length / seconds).toBeGreaterThan(2);
    expect(words.length / seconds).toBeLessThan(10);
  });

  it('is what ffmpeg hears of the recording of the card', () => {
    const momentary = Math.max(...report.words.map(({ loudness }) => loudness.momentary));
    const shortTerm = Math.max(...report.words.map(({ loudness }) => loudness.shortTerm));
    const text = JSON.stringify({ heard, momentary, shortTerm, last: report.last });
    // This slow machine leaves the card without sound for moments; the words come every 200 ms only.
    expect(Math.abs(shortTerm - heard.shortTerm), text).toBeLessThan(1);
    expect(Math.abs(momentary - heard.momentary), text).toBeLessThan(1);
  });

  it('has true peaks below the ceiling that was asked for, at the card too', () => {
    expect(report.last.truePeak).toBeLessThanOrEqual(-6);
    expect(heard.truePeak).toBeLessThanOrEqual(-6);
    expect(report.told.filter(({ level }) => level === 'error')).toEqual([]);
  });
});
