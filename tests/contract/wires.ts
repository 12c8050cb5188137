import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { NEVER } from '../../src/time/micros.js';
import type { AnyMidiWireCodec, Decoded, WireCounts } from '../../src/wire/midi-codec.js';
import type { Scan } from '../../src/wire/scan.js';

const EMPTY = new Uint8Array();
/** Past every wait of a codec. */
const LATER = 1_000_000;

export type Reading = readonly [t: number, input: number, raw: number];

export function readingsOf(scans: readonly Scan[]): Reading[] {
  return scans.flatMap((scan) =>
    scan.inputs.map((input, i): Reading => [scan.t, input, scan.raws[i]!]),
  );
}

/** Decodes packets, each with its time, and answers each wake-up asked for, as a port does. */
export function decodeAll(
  codec: AnyMidiWireCodec,
  packets: readonly (readonly [t: number, bytes: Uint8Array])[],
): { scans: Scan[]; counts: WireCounts } {
  const scans: Scan[] = [];
  let decoded: Decoded<unknown> = codec.decode(codec.begin(), 0, EMPTY);
  const step = (t: number, bytes: Uint8Array) => {
    decoded = codec.decode(decoded.state, t, bytes);
    scans.push(...decoded.scans);
    expect(decoded.wake, 'a wake-up later than the call').toBeGreaterThan(t);
  };
  for (const [t, bytes] of packets) {
    while (decoded.wake <= t) step(decoded.wake, EMPTY);
    step(t, bytes);
  }
  while (decoded.wake !== NEVER) step(decoded.wake, EMPTY);
  return { scans, counts: { ...decoded.counts } };
}

/** Scans that the wire can carry, each with at least one input, none twice, 4 ms apart from 4 ms on. */
export function scansFor(codec: AnyMidiWireCodec): fc.Arbitrary<Scan[]> {
  const reading = fc.tuple(fc.nat(codec.inputs - 1), fc.nat(codec.full));
  const scan = fc.uniqueArray(reading, {
    selector: ([input]) => input,
    minLength: 1,
    maxLength: 24,
  });
  return fc.array(scan, { minLength: 1, maxLength: 6 }).map((scans) =>
    scans.map((readings, i) => ({
      type: 'scan' as const,
      t: 4000 * (i + 1),
      inputs: readings.map(([input]) => input),
      raws: readings.map(([, raw]) => raw),
    })),
  );
}

/** The packets of scans: one a scan, that comes at the scan's own time. */
export function packetsOf(codec: AnyMidiWireCodec, scans: readonly Scan[]): [number, Uint8Array][] {
  let sent = 0;
  return scans.map((scan) => {
    const messages = codec.encode(scan, sent);
    sent += messages.length;
    return [scan.t, join(messages)];
  });
}

export function join(parts: readonly Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]));
}

const realTime = fc.constantFrom(0xf8, 0xf9, 0xfa, 0xfb, 0xfc, 0xfd, 0xfe, 0xff);

/** Real-time bytes put in after the bytes whose place is drawn. */
function inject(bytes: Uint8Array, draws: readonly (readonly [number, number])[]): Uint8Array {
  const out = [...bytes];
  for (const [place, byte] of draws) out.splice(place % (out.length + 1), 0, byte);
  return Uint8Array.from(out);
}

/** A scan is well formed: in range, each input once, times never falling and never later than `now`. */
function expectSound(codec: AnyMidiWireCodec, scans: readonly Scan[], now: number): void {
  let t = -Infinity;
  for (const scan of scans) {
    expect(scan.t).toBeGreaterThanOrEqual(t);
    expect(scan.t).toBeLessThanOrEqual(now);
    expect(Number.isInteger(scan.t)).toBe(true);
    t = scan.t;
    expect(scan.inputs.length).toBeGreaterThan(0);
    expect(scan.raws).toHaveLength(scan.inputs.length);
    expect(new Set(scan.inputs).size).toBe(scan.inputs.length);
    for (const input of scan.inputs) expectWithin(input, codec.inputs - 1);
    for (const raw of scan.raws) expectWithin(raw, codec.full);
  }
}

function expectWithin(value: number, most: number): void {
  expect(Number.isInteger(value) && value >= 0 && value <= most, `${String(value)}`).toBe(true);
}

/** What every MIDI wire must pass. */
export function wireContract(codec: AnyMidiWireCodec): void {
  describe(`the wire "${codec.wire}"`, () => {
    const anyScans = scansFor(codec);

    it('gives back by decoding what was encoded, at its time, and counts no fault', () => {
      fc.assert(
        fc.property(anyScans, (scans) => {
          const { scans: got, counts } = decodeAll(codec, packetsOf(codec, scans));
          expect(readingsOf(got)).toEqual(readingsOf(scans));
          expect(Object.values(counts).every((count) => count === 0)).toBe(true);
        }),
      );
    });

    it('carries both ends of its range on its first and last input', () => {
      const inputs = [0, codec.inputs - 1];
      for (const raws of [
        [0, codec.full],
        [codec.full, 0],
      ]) {
        const scan: Scan = { type: 'scan', t: 4000, inputs, raws };
        expect(readingsOf(decodeAll(codec, packetsOf(codec, [scan])).scans)).toEqual(
          readingsOf([scan]),
        );
      }
    });

    it('reads the same however the bytes are split, at every single byte too', () => {
      fc.assert(
        fc.property(anyScans, fc.integer({ min: 1, max: 9 }), (scans, size) => {
          const packets = packetsOf(codec, scans);
          const split = packets.flatMap(([t, bytes]) =>
            Array.from({ length: Math.ceil(bytes.length / size) }, (_, i): [number, Uint8Array] => [
              t,
              bytes.subarray(i * size, (i + 1) * size),
            ]),
          );
          const whole = readingsOf(decodeAll(codec, packets).scans);
          expect(readingsOf(decodeAll(codec, split).scans)).toEqual(whole);
        }),
      );
    });

    it('is not disturbed by real-time bytes between any two bytes', () => {
      const draws = fc.array(fc.tuple(fc.nat(1000), realTime), { maxLength: 20 });
      fc.assert(
        fc.property(anyScans, draws, (scans, draw) => {
          const packets = packetsOf(codec, scans);
          const mixed = packets.map(([t, bytes]): [number, Uint8Array] => [t, inject(bytes, draw)]);
          expect(decodeAll(codec, mixed).scans).toEqual(decodeAll(codec, packets).scans);
        }),
      );
    });

    it('never throws at garbage and never makes an unsound scan of it', () => {
      const steps = fc.array(
        fc.tuple(fc.nat(30_000), fc.uint8Array({ maxLength: 80, size: 'max' })),
      );
      fc.assert(
        fc.property(steps, (packets) => {
          let t = 0;
          const timed = packets.map(([gap, bytes]): [number, Uint8Array] => [(t += gap), bytes]);
          expectSound(codec, decodeAll(codec, timed).scans, t + LATER);
        }),
      );
    });

    it('reads on after garbage: all of a scan but what the garbage swallowed', () => {
      fc.assert(
        fc.property(fc.uint8Array({ maxLength: 80, size: 'max' }), anyScans, (garbage, scans) => {
          // A status byte that ends whatever the garbage left open.
          const clear = Uint8Array.of(0xf6);
          const packets = packetsOf(codec, scans).map(([t, bytes]): [number, Uint8Array] => [
            t + 1_000_000,
            bytes,
          ]);
          const { scans: got } = decodeAll(codec, [[0, join([garbage, clear])], ...packets]);
          const tail = readingsOf(got).slice(-readingsOf(scans).length);
          expect(tail.map(([, input, raw]) => [input, raw])).toEqual(
            readingsOf(scans).map(([, input, raw]) => [input, raw]),
          );
        }),
      );
    });

    it('keeps a press and a lift of one input in one packet apart', () => {
      const press: Scan = { type: 'scan', t: 4000, inputs: [3], raws: [codec.full] };
      const lift: Scan = { ...press, raws: [0] };
      const bytes = join([...codec.encode(press, 0), ...codec.encode(lift, 1)]);
      const { scans } = decodeAll(codec, [[4000, bytes]]);
      expect(readingsOf(scans)).toEqual([
        [4000, 3, codec.full],
        [4000, 3, 0],
      ]);
      expectSound(codec, scans, 4000);
    });

    it('answers the same to the same bytes: its state is its only memory', () => {
      fc.assert(
        fc.property(fc.array(fc.uint8Array({ maxLength: 60, size: 'max' })), (parts) => {
          const packets = parts.map((bytes, i): [number, Uint8Array] => [i * 1000, bytes]);
          expect(decodeAll(codec, packets)).toEqual(decodeAll(codec, packets));
        }),
      );
    });

    it.each([
      ['an input below 0', -1, 0],
      ['an input too high', codec.inputs, 0],
      ['an input that is no whole number', 0.5, 0],
      ['a raw value below 0', 0, -1],
      ['a raw value over the full scale', 0, codec.full + 1],
      ['a raw value that is none', 0, Number.NaN],
    ])('refuses to encode %s', (_, input, raw) => {
      const scan: Scan = { type: 'scan', t: 0, inputs: [input], raws: [raw] };
      expect(() => codec.encode(scan, 0)).toThrow(RangeError);
    });
  });
}
