import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Loudness } from '../../src/engine/builtin/output.js';
import type { Notice } from '../../src/ports/contracts.js';
import { tool } from '../engines/csound-process.js';
import { ebur128OfWav, type Heard } from '../engines/ebur128.js';
import { shareRun, type MachineRun } from './machine.js';

type Nullable<T> = { readonly [K in keyof T]: T[K] | null };

/** What inside/loudness.mjs writes; a number that JSON does not know, such as −Infinity, is null. */
interface Report {
  readonly before: Loudness | null;
  readonly words: readonly { readonly at: number; readonly loudness: Nullable<Loudness> }[];
  readonly last: Loudness;
  readonly told: readonly Notice[];
}

let machine: MachineRun;
let report: Report;
let heard: Heard;

shareRun('loudness', 300, async (run) => {
  machine = run;
  report = (await run.json('loudness.json')) as Report;
  heard = ebur128OfWav(readFileSync(join(run.outDir, 'heard.wav')));
});

describe('how loud the built-in engine is on a real sound card', () => {
  it('is told a few times a second, and not before anything was heard', () => {
    expect(report.before).toBeNull();
    const { words } = report;
    const seconds = (words.at(-1)!.at - words[0]!.at) / 1_000;
    expect(words.length / seconds).toBeGreaterThan(2);
    expect(words.length / seconds).toBeLessThan(10);
  });

  it('is about what ffmpeg hears of the recording of the card', () => {
    const most = (key: 'momentary' | 'shortTerm'): number =>
      Math.max(...report.words.map(({ loudness }) => loudness[key] ?? -Infinity));
    const text = JSON.stringify({ heard, last: report.last });
    // This slow machine leaves the card without sound for moments, a tenth of the time or more.
    for (const key of ['momentary', 'shortTerm'] as const) {
      expect(most(key) - heard[key], text).toBeGreaterThan(-0.5);
      expect(most(key) - heard[key], text).toBeLessThan(3);
    }
  });

  it('stays below the ceiling that was asked for, at the card too', () => {
    expect(report.last.truePeak).toBeLessThanOrEqual(-6);
    expect(report.last.truePeak).toBeGreaterThan(-6.5);
    expect(report.last.mostLimiting).toBeGreaterThan(1);
    // Where sound breaks off, there are peaks between samples that nobody sent: samples only.
    expect(highestSample(join(machine.outDir, 'heard.wav'))).toBeLessThanOrEqual(-6);
    expect(report.told.filter(({ level }) => level === 'error')).toEqual([]);
  });
});

/** In dB of full scale, as Debian's sox hears it. */
function highestSample(wav: string): number {
  const report = tool('sox', [wav, '-n', 'stats'], 'sox');
  return Number(/Pk lev dB\s+(\S+)/.exec(report)![1]);
}
