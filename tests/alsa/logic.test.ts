import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { describe, expect, it } from 'vitest';
import { shareRun, type MachineRun } from './machine.js';
import { hzOf, rmsDb } from './pitches.js';

const exec = promisify(execFile);

interface Played {
  readonly code: number;
  readonly output: string;
}

let run: MachineRun;
let played: { strum: Played; arpeggio: Played };

shareRun('logic', 500, async (now) => {
  run = now;
  played = (await run.json('logic.json')) as typeof played;
});

/**
 * The notes that follow each other in a file: aubio's pitches, window by window, as far as they stay
 * within 30 cents of a note for 40 ms or more. Attacks have no such pitch.
 */
async function notesOf(file: string): Promise<{ note: number; at: number }[]> {
  const args = ['-i', join(run.outDir, file), '-p', 'yinfft', '-u', 'midi', '-s', '-50'];
  const { stdout } = await exec('aubiopitch', [...args, '-B', '2048', '-H', '256']);
  const runs: { note: number; at: number; to: number }[] = [];
  for (const line of stdout.split('\n')) {
    const [at, pitch] = line.trim().split(/\s+/).map(Number);
    if (at === undefined || !pitch || Math.abs(pitch - Math.round(pitch)) > 0.3) continue;
    const last = runs.at(-1);
    if (last?.note === Math.round(pitch) && at - last.to < 0.02) last.to = at;
    else runs.push({ note: Math.round(pitch), at, to: at });
  }
  return runs.filter(({ at, to }) => to - at >= 0.04);
}

/** The notes that the room said it sent: when by its own clock, in seconds, and their names. */
function linesOf(output: string): { at: number; name: string }[] {
  const found = output.matchAll(/^ *(\d+\.\d+) s {2}uke {2}(\S+)/gm);
  return [...found].map(([, at, name]) => ({ at: Number(at), name: name! }));
}

/** Where the first sound begins, in seconds, by sox, which cuts away the silence before it. */
async function firstSound(file: string): Promise<number> {
  const wav = join(run.outDir, file);
  const length = async (...effects: string[]): Promise<number> => {
    const { stderr } = await exec('sox', [wav, '-n', ...effects, 'stat']);
    return Number(/^Length \(seconds\):\s+(\S+)/m.exec(stderr)?.[1]);
  };
  return (await length()) - (await length('silence', '1', '0.005', '-50d'));
}

/** How strong a pitch is in a stretch of a file, in dB, by a narrow filter of sox. */
async function strengthOf(file: string, note: number, from: number, seconds: number) {
  const band = ['sinc', '-n', '32767', `${String(hzOf(note - 0.4))}-${String(hzOf(note + 0.4))}`];
  const wav = join(run.outDir, file);
  const args = [wav, '-n', 'remix', '-', ...band, 'trim', String(from), String(seconds), 'stats'];
  const { stderr } = await exec('sox', args);
  return Number(/^RMS lev dB\s+(\S+)/m.exec(stderr)?.[1]?.replace('-inf', '-200'));
}

describe('own logic through a MIDI port to FluidSynth', () => {
  it('strum: one pluck sounds C4 E4 G4 B4, the chord of a finger on A4 fret 2', async () => {
    expect(played.strum.output).not.toMatch(/failed|error/i);
    expect(played.strum.code).toBe(0);
    const at = await firstSound('strum.wav');
    // None of the four is an overtone of another.
    const chord = [60, 64, 67, 71];
    const others = [61, 62, 63, 65, 66, 68, 69, 70];
    const [sounding, silent] = await Promise.all(
      [chord, others].map((all) =>
        Promise.all(all.map((note) => strengthOf('strum.wav', note, at + 0.1, 0.8))),
      ),
    );
    const text = JSON.stringify({ at, sounding, silent });
    expect(Math.min(...sounding!) - Math.max(...silent!), text).toBeGreaterThan(12);
    // The room's own lines: one string after the other.
    const times = linesOf(played.strum.output).map(({ at }) => at);
    expect(times.map((one) => Math.round((one - times[0]!) * 1_000))).toEqual([0, 18, 36, 54]);
  });

  it('arpeggio: three held frets sound F4 A4 C#5 in turn, 150 ms apart, and stop with the fingers', async () => {
    expect(played.arpeggio.output).not.toMatch(/failed|error/i);
    expect(played.arpeggio.code).toBe(0);
    // The room's own lines, whose times are exact: 3 s of 150 ms; the last lift is told a little later.
    const told = linesOf(played.arpeggio.output);
    expect(told.length).toBeGreaterThanOrEqual(20);
    expect(told.length).toBeLessThanOrEqual(21);
    const turn = ['F4', 'A4', 'C#5'];
    told.forEach((line, i) => {
      expect(line.name).toBe(turn[i % 3]);
      expect(line.at - told[0]!.at).toBeCloseTo(i * 0.15, 3);
    });
    // What was heard follows them. A busy emulated machine may make a note too short to be known by
    // its pitch; a note more or another order it cannot make.
    const heard = await notesOf('arpeggio.wav');
    const text = JSON.stringify(heard);
    expect(heard.length, text).toBeGreaterThanOrEqual(told.length - 5);
    const lines: number[] = [];
    for (const { note } of heard) {
      const name = turn[[65, 69, 73].indexOf(note)];
      lines.push(told.findIndex((line, i) => i > (lines.at(-1) ?? -1) && line.name === name));
      expect(lines.at(-1), text).not.toBe(-1);
    }
    const lasted = told[lines.at(-1)!]!.at - told[lines[0]!]!.at;
    expect(Math.abs(heard.at(-1)!.at - heard[0]!.at - lasted), text).toBeLessThan(0.1);
  });

  it('leaves nothing sounding', async () => {
    for (const file of ['strum.wav', 'arpeggio.wav']) {
      expect(await rmsDb(join(run.outDir, file), -0.3, 0.3), file).toBeLessThan(-60);
    }
  });
});
