import { readFileSync } from 'node:fs';
import { tool } from './csound-process.js';

/** A stretch of sound between silences. */
export interface Stretch {
  /** Seconds from the start of the file. */
  readonly from: number;
  readonly to: number;
  /** The median of what aubio found in it, in Hz; NaN: nothing. */
  readonly pitch: number;
}

/** Stretches of sound, each with its pitch; sound is what comes within 0.1 s of a louder sample. */
export function stretchesIn(wav: string, floor = 0.001): Stretch[] {
  const { rate, samples } = samplesOf(wav);
  const stretches: { from: number; to: number }[] = [];
  for (let i = 0; i < samples.length; i++) {
    if (Math.abs(samples[i]!) < floor) continue;
    const t = i / rate;
    const last = stretches.at(-1);
    if (last && t - last.to < 0.1) last.to = t;
    else stretches.push({ from: t, to: t });
  }
  const heard = pitchesIn(wav);
  return stretches.map(({ from, to }) => {
    const own = heard.filter(({ t }) => t > from + 0.1 && t < to).map(({ pitch }) => pitch);
    return { from, to, pitch: own.sort((a, b) => a - b)[own.length >> 1] ?? Number.NaN };
  });
}

/** Pitches as aubio 0.4.9 hears them: yinfft, windows of 171 ms at 48 kHz, silence below -60 dB. */
function pitchesIn(wav: string): { t: number; pitch: number }[] {
  const args = ['-i', wav, '-p', 'yinfft', '-B', '8192', '-H', '1024', '-s', '-60'];
  const lines = tool('aubiopitch', args, 'aubio-tools').trim().split('\n');
  const heard = lines.map((line) => {
    const [t, pitch] = line.split(' ').map(Number);
    return { t: t!, pitch: pitch! };
  });
  return heard.filter(({ pitch }) => pitch > 0);
}

/** The samples of a WAV with one channel of 16-bit PCM, 1 being full scale. */
export function samplesOf(wav: string): { rate: number; samples: Float64Array } {
  const bytes = readFileSync(wav);
  const data = bytes.indexOf('data') + 8;
  const samples = new Float64Array((bytes.length - data) >> 1);
  for (let i = 0; i < samples.length; i++) samples[i] = bytes.readInt16LE(data + 2 * i) / 32_768;
  return { rate: bytes.readUInt32LE(24), samples };
}

/** The RMS amplitude of the last seconds of a file, as sox hears it. */
export function rmsOfLast(wav: string, seconds: number): number {
  return rms(wav, [`-${String(seconds)}`]);
}

/** The RMS amplitude of a part of a file, as sox hears it; times in seconds. */
export function rmsBetween(wav: string, from: number, seconds: number): number {
  return rms(wav, [String(from), String(seconds)]);
}

function rms(wav: string, part: readonly string[]): number {
  const report = tool('sox', [wav, '-n', 'trim', ...part, 'stat'], 'sox');
  return Number(/RMS\s+amplitude:\s+(\S+)/.exec(report)![1]);
}
