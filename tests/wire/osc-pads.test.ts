import fc from 'fast-check';
import {
  decode as nodeOscDecode,
  encode as nodeOscEncode,
  Message as NodeOscMessage,
} from 'node-osc';
import { describe, expect, it } from 'vitest';
import { encodeOsc, type OscMessage } from '../../src/wire/osc-codec.js';
import { decodePads, encodePads, OSC_INPUTS } from '../../src/wire/osc-pads.js';
import { oscTimeTag } from '../../src/wire/osc-time.js';

const FULL: Record<string, number> = { north: 1023, west: 16383 };
const fullOf = (seat: string) => FULL[seat];
const decode = (bytes: Uint8Array) => decodePads(bytes, fullOf);
const written = (address: string, ...args: unknown[]) =>
  nodeOscEncode(new NodeOscMessage(address, ...args));
const float = (value: number) => ({ type: 'f', value });

describe('raw pads, written by node-osc', () => {
  it('reads /pad ,sii as seat, input, raw', () => {
    expect(decode(written('/pad', 'north', 16, 1023))).toEqual({
      readings: [{ seat: 'north', inputs: [16], raws: [1023] }],
      faults: [],
      over: [],
    });
  });

  it('reads /pads ,si… as seat, first input, raws', () => {
    expect(decode(written('/pads', 'west', 4, 10, 0, 16383))).toEqual({
      readings: [{ seat: 'west', inputs: [4, 5, 6], raws: [10, 0, 16383] }],
      faults: [],
      over: [],
    });
  });

  it('takes floats that are whole numbers', () => {
    expect(decode(written('/pads', 'north', float(2), float(7), 8)).readings).toEqual([
      { seat: 'north', inputs: [2, 3], raws: [7, 8] },
    ]);
    expect(decode(written('/pad', 'north', 0, float(-0))).readings[0]!.raws).toEqual([0]);
  });

  it.each([
    [
      'another address',
      written('/knob', 'north', 1, 2),
      /^\/knob: raw pads come as \/pad or \/pads$/,
    ],
    ['a seat that there is not', written('/pad', 'south', 1, 2), /no seat named "south"/],
    ['no seat', written('/pad', 1, 2, 3), /must be a string/],
    ['too few arguments', written('/pad', 'north', 1), /2 arguments.*seat, input and raw value/],
    ['too many for /pad', written('/pad', 'north', 1, 2, 3), /4 arguments/],
    [
      '/pads without values',
      written('/pads', 'north', 1),
      /2 arguments.*first input and raw values/,
    ],
    [
      'an input below 0',
      written('/pad', 'north', -1, 3),
      /inputs are whole numbers from 0 to 1023/,
    ],
    ['an input far too high', written('/pad', 'north', OSC_INPUTS, 3), /inputs are/],
    ['inputs that run too high', written('/pads', 'north', OSC_INPUTS - 1, 3, 4), /inputs are/],
    ['a fraction as input', written('/pad', 'north', 0.5, 3), /inputs are/],
    [
      'a raw value below 0',
      written('/pad', 'north', 3, -1),
      /input 3: -1 \(i\) is no whole number/,
    ],
    ['a raw fraction', written('/pad', 'north', 3, 0.25), /0.25 \(f\)/],
    ['a raw value that is no number', written('/pad', 'north', 3, float(Number.NaN)), /NaN/],
    ['a text as raw value', written('/pad', 'north', 3, '7'), /input 3: 7 \(s\)/],
    [
      'a list as raw value',
      encodeOsc({
        address: '/pad',
        args: [{ type: 's', value: 'north' }, { type: 'i', value: 1 }, []],
      }),
      /a list/,
    ],
    ['no OSC at all', Buffer.from('hello, world'), /^not an OSC packet: /],
  ])('leaves out and describes %s', (_, bytes, fault) => {
    const { readings, faults } = decode(bytes);
    expect(readings).toEqual([]);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(fault);
  });

  it('tells a raw value over the full scale apart, since the room file may be wrong', () => {
    const { readings, faults, over } = decode(written('/pads', 'north', 3, 5, 1024));
    expect([readings, faults]).toEqual([[], []]);
    expect(over).toEqual([{ seat: 'north', input: 4, raw: 1024, full: 1023 }]);
  });

  it('takes the good messages of a bundle, in order, and describes the bad', () => {
    const pad = (seat: string, input: number): OscMessage => ({
      address: '/pad',
      args: [
        { type: 's', value: seat },
        { type: 'i', value: input },
        { type: 'i', value: 9 },
      ],
    });
    const packets = [pad('north', 1), pad('south', 2), pad('west', 3)];
    const { readings, faults } = decode(encodeOsc({ at: oscTimeTag(0), packets }));
    expect(readings.map(({ seat }) => seat)).toEqual(['north', 'west']);
    expect(faults).toHaveLength(1);
  });
});

describe('encodePads', () => {
  it('writes what decodePads reads, and node-osc reads too', () => {
    const first = fc.nat(1000);
    const raws = fc.array(fc.nat(1023), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(first, raws, (input, values) => {
        const inputs = values.map((_, i) => input + i);
        const made = { seat: 'north', inputs, raws: values };
        const bytes = encodePads(made);
        expect(decode(bytes)).toEqual({ readings: [made], faults: [], over: [] });

        const theirs = nodeOscDecode(Buffer.from(bytes)) as NodeOscMessage;
        expect(theirs.address).toBe(values.length === 1 ? '/pad' : '/pads');
        expect(theirs.args.map(({ value }: { value: unknown }) => value)).toEqual([
          'north',
          input,
          ...values,
        ]);
      }),
    );
  });

  it.each([
    ['no inputs', [], []],
    ['inputs that do not follow one another', [1, 3], [5, 5]],
    ['an input without a value', [1, 2], [5]],
    ['a value that is no integer', [1], [0.5]],
  ])('refuses %s', (_, inputs, raws) => {
    expect(() => encodePads({ seat: 'north', inputs, raws })).toThrow(RangeError);
  });
});
