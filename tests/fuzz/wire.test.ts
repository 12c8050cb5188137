import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writeFrame } from '../../src/wire/frame.js';
import { beginMidi, parseMidi } from '../../src/wire/midi-parser.js';
import { MIDI_WIRES, midiWire } from '../../src/wire/midi-wires.js';
import { decodeOsc, encodeOsc } from '../../src/wire/osc-codec.js';
import { decodePads, encodePads, OSC_INPUTS } from '../../src/wire/osc-pads.js';
import { decodeAll, join, packetsOf, readingsOf, scansFor } from '../contract/wires.js';

/** Bytes that are mostly MIDI: status bytes with data, cut and mixed. */
const midiish = fc
  .array(
    fc.oneof(
      fc.tuple(fc.integer({ min: 0x80, max: 0xff }), fc.nat(127), fc.nat(127)),
      fc.tuple(fc.integer({ min: 0x80, max: 0xff })),
      fc.tuple(fc.nat(127)),
      fc.constant([...writeFrame({ sequence: 1, time: 5, first: 120, raws: [1, 2, 3] })]),
    ),
    { maxLength: 60, size: 'max' },
  )
  .map((parts) => Uint8Array.from(parts.flat()));

/** What goes wrong on a cable: a byte changed, dropped, doubled, or put in. */
const slip = fc.tuple(
  fc.constantFrom('change', 'drop', 'double', 'insert'),
  fc.nat(2000),
  fc.nat(255),
);
function spoil(
  bytes: Uint8Array,
  slips: readonly (readonly [string, number, number])[],
): Uint8Array {
  const out = [...bytes];
  for (const [what, place, byte] of slips) {
    const at = place % (out.length + 1);
    if (what === 'insert') out.splice(at, 0, byte);
    else if (at < out.length) {
      if (what === 'change') out[at] = byte;
      else if (what === 'drop') out.splice(at, 1);
      else out.splice(at, 0, out[at]!);
    }
  }
  return Uint8Array.from(out);
}
const slips = fc.array(slip, { minLength: 1, maxLength: 6 });

describe('the MIDI parser', () => {
  it('makes the same messages and counts of a stream in whatever pieces', () => {
    const cuts = fc.array(fc.nat(200), { maxLength: 20 });
    fc.assert(
      fc.property(midiish, cuts, (bytes, places) => {
        const whole = parseMidi(beginMidi(8), bytes);
        let state = beginMidi(8);
        const messages = [];
        const ends = [...new Set(places.filter((at) => at < bytes.length)), bytes.length];
        let from = 0;
        for (const end of ends.sort((a, b) => a - b)) {
          const parsed = parseMidi(state, bytes.subarray(from, end));
          state = parsed.state;
          messages.push(...parsed.messages);
          from = end;
        }
        expect(messages).toEqual(whole.messages);
        expect(state.faults).toEqual(whole.state.faults);
      }),
    );
  });

  it('makes messages of 7-bit data only, and accounts for each byte that it gets', () => {
    fc.assert(
      fc.property(midiish, (bytes) => {
        const { messages } = parseMidi(beginMidi(), bytes);
        for (const { type, ...fields } of messages) {
          if (type === 'real-time') continue;
          for (const [key, value] of Object.entries(fields)) {
            const values = value instanceof Uint8Array ? [...value] : [value as number];
            const most = key === 'bend' ? 16383 : key === 'status' ? 255 : 127;
            for (const each of values) expect(each >= 0 && each <= most).toBe(true);
          }
        }
      }),
    );
  });
});

describe.each(MIDI_WIRES)('the wire "%s"', (wire) => {
  const codec = midiWire(wire);

  it('makes only readings in range of what a bad cable does to good scans', () => {
    fc.assert(
      fc.property(scansFor(codec), slips, (scans, wrong) => {
        const packets = packetsOf(codec, scans).map(
          ([t, bytes]) => [t, spoil(bytes, wrong)] as const,
        );
        for (const [, input, raw] of readingsOf(decodeAll(codec, packets).scans)) {
          expect(Number.isInteger(input) && input >= 0 && input < codec.inputs).toBe(true);
          expect(Number.isInteger(raw) && raw >= 0 && raw <= codec.full).toBe(true);
        }
      }),
    );
  });

  it('makes only readings in range of what is mostly MIDI', () => {
    fc.assert(
      fc.property(midiish, (bytes) => {
        for (const [, input, raw] of readingsOf(decodeAll(codec, [[1000, bytes]]).scans)) {
          expect(input >= 0 && input < codec.inputs && raw >= 0 && raw <= codec.full).toBe(true);
        }
      }),
    );
  });
});

describe('frames', () => {
  const codec = midiWire('frames');

  it('with one slip are dropped, never read as something else', () => {
    // An F7 in the middle ends a frame early, and one in 128 of those passes a check of 7 bits.
    const oneSlip = slip.filter(([, , byte]) => byte !== 0xf7);
    const any = fc.array(fc.nat(16383), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(any, fc.nat(127), oneSlip, (raws, sequence, wrong) => {
        const good = writeFrame({ sequence, time: 1000, first: 0, raws });
        const bad = spoil(good, [wrong]);
        const { scans } = decodeAll(codec, [[5000, bad]]);
        // A change of one byte in 7 bits, which the check always finds; a byte too many or too few
        // makes the length odd.
        const wanted = raws.map((raw, i) => [5000, i, raw]);
        for (const scan of scans) expect(readingsOf([scan])).toEqual(wanted);
      }),
    );
  });

  it('after a spoilt one are read again', () => {
    fc.assert(
      fc.property(slips, (wrong) => {
        const first = spoil(writeFrame({ sequence: 0, time: 0, first: 0, raws: [1, 2] }), wrong);
        const second = writeFrame({ sequence: 1, time: 4000, first: 0, raws: [3, 4] });
        const { scans } = decodeAll(codec, [[10_000, join([first, second])]]);
        expect(scans[scans.length - 1]).toMatchObject({ inputs: [0, 1], raws: [3, 4] });
      }),
    );
  });
});

describe('OSC', () => {
  const fullOf = (seat: string) => (seat.length < 20 ? 1023 : undefined);
  const expectSound = (bytes: Uint8Array) => {
    for (const { inputs, raws } of decodePads(bytes, fullOf).readings) {
      expect(raws).toHaveLength(inputs.length);
      for (const input of inputs)
        expect(Number.isInteger(input) && input >= 0 && input < OSC_INPUTS).toBe(true);
      for (const raw of raws) expect(Number.isInteger(raw) && raw >= 0 && raw <= 1023).toBe(true);
    }
  };

  it('never throws at any bytes', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200, size: 'max' }), (bytes) => {
        const decoded = decodeOsc(bytes);
        expect('ok' in decoded || decoded.error.length > 0).toBe(true);
        expectSound(bytes);
      }),
    );
  });

  it('never throws at spoilt pads, alone and in bundles, nor makes readings out of range', () => {
    const raws = fc.array(fc.nat(1023), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(raws, slips, fc.boolean(), (values, wrong, bundled) => {
        const inputs = values.map((_, i) => i);
        const bytes = encodePads({ seat: 'north', inputs, raws: values });
        const [message] = (decodeOsc(bytes) as { ok: never[] }).ok;
        const packet = bundled
          ? encodeOsc({ at: { seconds: 0, fraction: 1 }, packets: [message!, message!] })
          : bytes;
        expectSound(spoil(packet, wrong));
        const changes = wrong.map(([, place, byte]) => ['change', place, byte] as const);
        expectSound(spoil(packet, changes));
      }),
    );
  });
});
