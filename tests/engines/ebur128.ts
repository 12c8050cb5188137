import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { wavBytes, type Stereo } from '../../src/engine/wav.js';
import { tool } from './csound-process.js';

/** What ffmpeg 5.1's `ebur128` filter hears, an implementation of its own: LUFS, and dBTP. */
export interface Heard {
  readonly integrated: number;
  /** The highest of 400 ms and of 3 s, looked at every 100 ms. */
  readonly momentary: number;
  readonly shortTerm: number;
  /** Told as an amplitude in thousandths: exact to 0.01 dB at full scale. */
  readonly truePeak: number;
}

/** Measures a sound as the 16-bit WAV that the program writes. */
export function ebur128(sound: Stereo, sampleRate: number): Heard {
  return heard(wavBytes([sound], { sampleRate, seed: 1 }), []);
}

/** The same of a WAV's bytes. */
export function ebur128OfWav(wav: Uint8Array): Heard {
  return heard(wav, []);
}

/** The same of samples as they are, beyond full scale too: 32-bit floats. */
export function ebur128OfFloats({ left, right }: Stereo, sampleRate: number): Heard {
  const interleaved = new Float32Array(2 * left.length);
  for (let i = 0; i < left.length; i++) {
    interleaved[2 * i] = left[i]!;
    interleaved[2 * i + 1] = right[i]!;
  }
  const raw = new Uint8Array(interleaved.buffer);
  return heard(raw, ['-f', 'f32le', '-ar', String(sampleRate), '-ac', '2']);
}

function heard(bytes: Uint8Array, format: readonly string[]): Heard {
  const folder = mkdtempSync(join(tmpdir(), 'ebur128-'));
  try {
    const file = join(folder, 'sound');
    writeFileSync(file, bytes);
    const filter = 'ebur128=peak=true:metadata=1,ametadata=print:file=-';
    const args = ['-v', 'error', ...format, '-i', file, '-af', filter, '-f', 'null', '-'];
    const lines = tool('ffmpeg', args, 'ffmpeg').split('\n');
    const values = (key: string): number[] =>
      lines
        .filter((line) => line.startsWith(`lavfi.r128.${key}=`))
        .map((line) => Number(line.slice(line.indexOf('=') + 1)));
    const peak = Math.max(values('true_peaks_ch0').at(-1)!, values('true_peaks_ch1').at(-1)!);
    return {
      integrated: values('I').at(-1)!,
      // Where nothing at all sounds, it writes no number.
      momentary: Math.max(...values('M').filter(Number.isFinite)),
      shortTerm: Math.max(...values('S').filter(Number.isFinite)),
      truePeak: 20 * Math.log10(peak),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}
