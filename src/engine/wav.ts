import { noise } from './builtin/random.js';

/** Bytes of the header that `wavHeader` makes: RIFF, `fmt ` of 16 bytes, `data`. */
export const WAV_HEADER_BYTES = 44;
const CHANNELS = 2;
const BYTES_PER_FRAME = CHANNELS * 2;
const FULL_SCALE = 32767;
/** So many frames fill the format's 4 GiB: more than six hours at 48 kHz. */
export const MOST_WAV_FRAMES = Math.floor((0xffffffff - WAV_HEADER_BYTES) / BYTES_PER_FRAME);

export interface WavOptions {
  /** Frames a second. */
  readonly sampleRate: number;
  /** Integer; which dither noise. The same seed gives the same bytes. */
  readonly seed: number;
}

/** Two channels of samples, −1 to 1, as long as each other. */
export interface Stereo {
  readonly left: Float32Array;
  readonly right: Float32Array;
}

/**
 * The header of a 16-bit PCM stereo WAV file (IBM & Microsoft, "Multimedia Programming Interface and Data
 * Specifications 1.0", 1991).
 *
 * @throws RangeError where the file would pass the format's 4 GiB, about six hours
 */
export function wavHeader(frames: number, sampleRate: number): Uint8Array {
  const data = frames * BYTES_PER_FRAME;
  if (frames > MOST_WAV_FRAMES) {
    throw new RangeError('A WAV file holds at most 4 GiB: render a shorter part');
  }
  const bytes = new Uint8Array(WAV_HEADER_BYTES);
  const view = new DataView(bytes.buffer);
  const text = (at: number, letters: string): void => {
    for (let i = 0; i < letters.length; i++) bytes[at + i] = letters.charCodeAt(i);
  };
  text(0, 'RIFF');
  view.setUint32(4, WAV_HEADER_BYTES - 8 + data, true);
  text(8, 'WAVE');
  text(12, 'fmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, CHANNELS, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * BYTES_PER_FRAME, true);
  view.setUint16(32, BYTES_PER_FRAME, true);
  view.setUint16(34, 16, true);
  text(36, 'data');
  view.setUint32(40, data, true);
  return bytes;
}

/**
 * One sample as 16 bits, with triangular dither of two steps' width (Lipshitz, Wannamaker & Vanderkooy,
 * "Quantization and Dither", JAES 40(5), 1992). Digital silence stays digital silence.
 *
 * @param sample −1 to 1; values beyond are clipped, what is no number becomes 0
 * @param n number of the sample among all of both channels
 */
export function ditheredSample(sample: number, seed: number, n: number): number {
  if (sample === 0 || Number.isNaN(sample)) return 0;
  const dither = 0.5 * (noise(seed, 2 * n) + noise(seed, 2 * n + 1));
  const value = Math.round(sample * FULL_SCALE + dither);
  return Math.max(-FULL_SCALE, Math.min(FULL_SCALE, value));
}

/** Makes the data of a 16-bit PCM stereo WAV file, chunk by chunk. */
export class WavData {
  /** How many frames were made so far. */
  frames = 0;

  constructor(private readonly seed: number) {}

  bytes({ left, right }: Stereo): Uint8Array {
    const bytes = new Uint8Array(left.length * BYTES_PER_FRAME);
    const view = new DataView(bytes.buffer);
    for (let i = 0; i < left.length; i++) {
      const n = CHANNELS * (this.frames + i);
      view.setInt16(BYTES_PER_FRAME * i, ditheredSample(left[i]!, this.seed, n), true);
      view.setInt16(BYTES_PER_FRAME * i + 2, ditheredSample(right[i]!, this.seed, n + 1), true);
    }
    this.frames += left.length;
    return bytes;
  }
}

/** The bytes of a whole 16-bit PCM stereo WAV file. */
export function wavBytes(chunks: Iterable<Stereo>, options: WavOptions): Uint8Array {
  const data = new WavData(options.seed);
  const parts = Array.from(chunks, (chunk) => data.bytes(chunk));
  const file = new Uint8Array(WAV_HEADER_BYTES + data.frames * BYTES_PER_FRAME);
  file.set(wavHeader(data.frames, options.sampleRate));
  let at = WAV_HEADER_BYTES;
  for (const part of parts) {
    file.set(part, at);
    at += part.length;
  }
  return file;
}
