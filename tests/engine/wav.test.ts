import { describe, expect, it } from 'vitest';
import { renderWav } from '../../src/engine/builtin/offline.js';
import { ditheredSample, wavBytes, wavHeader } from '../../src/engine/wav.js';
import { off, on, SEATS } from './builtin/helpers.js';

describe('a WAV file', () => {
  it('has the header of 16-bit PCM stereo', () => {
    // Written out by hand after the RIFF specification of 1991; tests/engines has sox read a whole file.
    const expected =
      '52494646' +
      'b4000000' +
      '57415645' + // RIFF, 36 + 144 bytes, WAVE
      '666d7420' +
      '10000000' +
      '0100' +
      '0200' + // fmt, 16 bytes, PCM, two channels
      '80bb0000' +
      '00ee0200' +
      '0400' +
      '1000' + // 48000 frames/s, 192000 bytes/s, 4 a frame, 16 bits
      '64617461' +
      '90000000'; // data, 144 bytes
    expect(Buffer.from(wavHeader(36, 48_000)).toString('hex')).toBe(expected);
  });

  it('refuses what does not fit the format', () => {
    expect(() => wavHeader(2 ** 30, 48_000)).toThrow(/4 GiB/);
  });

  it('holds the samples little-endian, left before right, within a dither of two steps', () => {
    const left = Float32Array.of(0, 0.5, -1, 2);
    const right = Float32Array.of(0, -0.5, 1, NaN);
    const bytes = wavBytes([{ left, right }], { sampleRate: 48_000, seed: 1 });
    const view = new DataView(bytes.buffer, 44);
    const at = (i: number): number => view.getInt16(2 * i, true);
    expect([at(0), at(1), at(7)]).toEqual([0, 0, 0]);
    for (const [i, value] of [16_383.5, -16_383.5, -32_767, 32_767, 32_767].entries()) {
      expect(Math.abs(at(i + 2) - value)).toBeLessThanOrEqual(1.5);
    }
  });

  it('dithers so that the mean follows a tone far below one step', () => {
    let sum = 0;
    const count = 40_000;
    for (let i = 0; i < count; i++) sum += ditheredSample(0.3 / 32_767, 3, i);
    expect(sum / count).toBeCloseTo(0.3, 1);
  });

  it('is the same, byte for byte, for the same events and seed', () => {
    const events = [on(), off({ t: 200_000 })];
    const render = (seed: number): Uint8Array =>
      renderWav(events, { sampleRate: 44_100, seed, seats: SEATS, tailSeconds: 0.3 });
    expect(render(5)).toEqual(render(5));
    expect(render(5)).not.toEqual(render(6));
    expect(render(5).length).toBe(44 + 4 * 0.5 * 44_100);
  });
});
