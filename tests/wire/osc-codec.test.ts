import fc from 'fast-check';
import {
  Bundle as NodeOscBundle,
  decode as nodeOscDecode,
  encode as nodeOscEncode,
  Message as NodeOscMessage,
} from 'node-osc';
import { fromBuffer, toBuffer, type OscBundleOutput, type OscMessageOutput } from 'osc-min';
import { describe, expect, it } from 'vitest';
import {
  decodeOsc,
  encodeOsc,
  type OscArg,
  type OscBundle,
  type OscMessage,
} from '../../src/wire/osc-codec.js';
import { OSC_MESSAGES_MOST, OSC_PACKET_MOST } from '../../src/wire/osc-shape.js';
import { IMMEDIATELY, oscTimeTag, unixTime } from '../../src/wire/osc-time.js';

const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');
const i = (value: number): OscArg => ({ type: 'i', value });
const f = (value: number): OscArg => ({ type: 'f', value });
const s = (value: string): OscArg => ({ type: 's', value });

function read(bytes: Uint8Array): readonly OscMessage[] {
  const decoded = decodeOsc(bytes);
  if ('error' in decoded) throw new Error(decoded.error);
  return decoded.ok;
}

function errorOf(bytes: Uint8Array): string {
  const decoded = decodeOsc(bytes);
  if ('ok' in decoded) throw new Error(`was read: ${JSON.stringify(decoded.ok)}`);
  return decoded.error;
}

describe('the examples of the OSC 1.0 specification (its examples page)', () => {
  it.each([
    [
      '2f6f7363696c6c61746f722f342f6672657175656e6379002c66000043dc0000',
      { address: '/oscillator/4/frequency', args: [f(440)] },
    ],
    [
      '2f666f6f000000002c69697366660000000003e8ffffffff68656c6c6f0000003f9df3b640b5b22d',
      {
        address: '/foo',
        args: [i(1000), i(-1), s('hello'), f(Math.fround(1.234)), f(Math.fround(5.678))],
      },
    ],
  ])('%s', (bytes, message) => {
    expect(read(Buffer.from(bytes, 'hex'))).toEqual([message]);
    expect(hex(encodeOsc(message))).toBe(bytes);
  });

  it('time tags count seconds from 1900, and 0…01 is "immediately"', () => {
    // 2208988800 s from 1900 to 1970 (RFC 868).
    expect(oscTimeTag(0)).toEqual({ seconds: 2_208_988_800, fraction: 0 });
    expect(oscTimeTag(1_500_000)).toEqual({ seconds: 2_208_988_801, fraction: 2 ** 31 });
    expect(unixTime(IMMEDIATELY)).toBeUndefined();
    const bundle = encodeOsc({ at: IMMEDIATELY, packets: [] });
    expect(hex(bundle)).toBe(`${Buffer.from('#bundle\0').toString('hex')}0000000000000001`);
  });
});

const text = fc
  .string({ unit: 'binary-ascii', maxLength: 12 })
  .map((raw) => raw.replaceAll('\0', ''));
const args = fc.array(
  fc.oneof(
    fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 }).map(i),
    fc.float({ noNaN: true, noDefaultInfinity: true }).map(f),
    text.map(s),
    fc.uint8Array({ maxLength: 9 }).map((value): OscArg => ({ type: 'b', value })),
  ),
  { maxLength: 8 },
);
const address = fc
  .string({ unit: fc.constantFrom(...'abz09/_'), maxLength: 9 })
  .map((raw) => `/${raw}`);
const message: fc.Arbitrary<OscMessage> = fc.record({ address, args });

/** Their names of our types, and values in the form of ours. */
const NAMES: Record<string, string> = { integer: 'i', float: 'f', string: 's', blob: 'b' };
function inOurWords(arg: { type: string; value: unknown }): OscArg {
  const type = NAMES[arg.type] ?? arg.type;
  const { value } = arg;
  if (type !== 'b') return { type, value };
  const view = value as DataView;
  return {
    type,
    value: new Uint8Array(view.buffer.slice(view.byteOffset, view.byteOffset + view.byteLength)),
  };
}
const theirs = (arg: OscArg) =>
  arg.type === 'b' ? { type: 'b', value: Buffer.from(arg.value as Uint8Array) } : arg;

function flat(args: OscMessage['args']): OscArg[] {
  return (args.flat() as OscArg[]).map(({ type, value }) =>
    value instanceof Uint8Array ? { type, value: Uint8Array.from(value) } : { type, value },
  );
}

describe('against node-osc, an independent codec', () => {
  it('reads what we write, and we read what it writes', () => {
    fc.assert(
      fc.property(message, (made) => {
        const bytes = encodeOsc(made);
        const got = nodeOscDecode(Buffer.from(bytes)) as NodeOscMessage;
        expect(got.address).toBe(made.address);
        // It gives no types; that its own bytes are the same below covers them.
        const values = (got.args as { value: unknown }[]).map(({ value }) =>
          value instanceof Uint8Array ? Uint8Array.from(value) : value,
        );
        expect(values).toEqual(flat(made.args).map(({ value }) => value));

        const written = nodeOscEncode(
          new NodeOscMessage(made.address, ...flat(made.args).map(theirs)),
        );
        expect(hex(written)).toBe(hex(bytes));
        expect(read(written).map(({ args }) => flat(args))).toEqual([flat(made.args)]);
      }),
    );
  });

  it('reads bundles and their time alike', () => {
    const unix = 1_700_000_000_250_000;
    const bytes = encodeOsc({ at: oscTimeTag(unix), packets: [{ address: '/a', args: [i(1)] }] });
    const got = nodeOscDecode(Buffer.from(bytes)) as NodeOscBundle;
    expect(got.timetag).toBeCloseTo(unix / 1e6, 6);
    const written = nodeOscEncode(new NodeOscBundle(unix / 1e6, ['/a', 1], ['/b', 'x']));
    const messages = read(written);
    expect(messages.map(({ address }) => address)).toEqual(['/a', '/b']);
    expect(messages.map(({ at }) => unixTime(at!))).toEqual([unix, unix]);
  });
});

describe('against osc-min, an independent codec', () => {
  it('reads what we write, and we read what it writes', () => {
    fc.assert(
      fc.property(message, (made) => {
        const bytes = encodeOsc(made);
        const got = fromBuffer(bytes) as OscMessageOutput;
        expect(got.address).toBe(made.address);
        expect((got.args as { type: string; value: unknown }[]).map(inOurWords)).toEqual(
          flat(made.args),
        );

        const view = toBuffer(got);
        const written = new Uint8Array(
          view.buffer as ArrayBuffer,
          view.byteOffset,
          view.byteLength,
        );
        expect(hex(written)).toBe(hex(bytes));
        expect(read(written).map(({ args }) => flat(args))).toEqual([flat(made.args)]);
      }),
    );
  });

  it('reads nested bundles and their time alike', () => {
    const inner: OscBundle = { at: oscTimeTag(2_000_001), packets: [{ address: '/b', args: [] }] };
    const outer = {
      at: oscTimeTag(1_000_000),
      packets: [{ address: '/a', args: [s('x')] }, inner],
    };
    const bytes = encodeOsc(outer);
    const got = fromBuffer(bytes) as OscBundleOutput;
    expect(got.timetag).toEqual([outer.at.seconds, outer.at.fraction]);
    expect((got.elements[1] as OscBundleOutput).timetag).toEqual([
      inner.at.seconds,
      inner.at.fraction,
    ]);
    expect(read(bytes).map(({ address, at }) => [address, unixTime(at!)])).toEqual([
      ['/a', 1_000_000],
      ['/b', 2_000_001],
    ]);
  });
});

describe('blobs in a part of a larger buffer', () => {
  it('are read from the right place', () => {
    const bytes = encodeOsc({
      address: '/b',
      args: [{ type: 'b', value: Uint8Array.of(1, 2, 3) }],
    });
    for (const before of [0, 4, 8]) {
      const pool = new Uint8Array(bytes.length + before + 20).fill(0xee);
      pool.set(bytes, before);
      for (const view of [pool, Buffer.from(pool.buffer)]) {
        const [got] = read(view.subarray(before, before + bytes.length));
        expect(got!.args).toEqual([{ type: 'b', value: Uint8Array.of(1, 2, 3) }]);
      }
    }
  });

  it('cannot reach beyond their packet', () => {
    const bytes = encodeOsc({
      address: '/b',
      args: [{ type: 'b', value: Uint8Array.of(1, 2, 3) }],
    });
    new DataView(bytes.buffer).setInt32(8, 16);
    const pool = new Uint8Array(bytes.length + 64);
    pool.set(bytes);
    expect(errorOf(pool.subarray(0, bytes.length))).toMatch(/length/i);
  });
});

describe('refused with a reason', () => {
  it.each([
    ['nothing', Buffer.alloc(0), /multiple of 4/],
    ['an odd size', Buffer.from('/ab'), /multiple of 4/],
    ['too much', Buffer.alloc(OSC_PACKET_MOST + 4), /more than 8192/],
    ['no address', Buffer.from('pad\0,i\0\0'), /address/],
    ['no type tags', Buffer.from('/pad\0\0\0\0'), /type tag/],
    ['fewer arguments than tags', Buffer.from('/pad\0\0\0\0,ii\0\0\0\0\x01'), /bounds/],
    ['a type tag that there is not', Buffer.from('/pad\0\0\0\0,q\0\0'), /'q'/],
    ['an array without end', Buffer.from('/pad\0\0\0\0,[i\0\0\0\0\x01'), /array/],
  ])('%s', (_, bytes, reason) => {
    expect(errorOf(bytes)).toMatch(reason);
  });

  const head = Buffer.from('#bundle\0\0\0\0\0\0\0\0\x01', 'latin1');
  const bundleOf = (...parts: Uint8Array[]): Uint8Array => {
    const size = (part: Uint8Array): Buffer => {
      const bytes = Buffer.alloc(4);
      bytes.writeInt32BE(part.length);
      return bytes;
    };
    return Buffer.concat([head, ...parts.flatMap((part) => [size(part), part])]);
  };
  const tiny = encodeOsc({ address: '/a', args: [] });
  const types = (tags: string, bytes: number): Uint8Array => {
    const text = Buffer.from(`,${tags}\0`);
    const filled = Buffer.alloc(Math.ceil(text.length / 4) * 4 + bytes);
    text.copy(filled);
    return Buffer.concat([Buffer.from('/a\0\0'), filled]);
  };
  const nested = (levels: number): Uint8Array => {
    let packet = bundleOf(tiny);
    for (let level = 1; level < levels; level++) packet = bundleOf(packet);
    return packet;
  };

  it.each([
    ['bundles as deep as a packet allows', nested(300), /too deep/],
    ['more messages than a packet needs', bundleOf(...Array<Uint8Array>(600).fill(tiny)), /512/],
    ['thousands of arguments', types('T'.repeat(5_000), 0), /2048 arguments/],
    [
      'of several messages together',
      bundleOf(types('T'.repeat(1_500), 0), types('T'.repeat(1_500), 0)),
      /2048 arguments/,
    ],
    ['hundreds of lists', types('[]'.repeat(900), 0), /16 lists/],
    [
      'a part that is longer than its bundle',
      Buffer.concat([head, Buffer.from([0, 0, 1, 0]), tiny]),
      /256 bytes long/,
    ],
    ['a part of no length', Buffer.concat([head, Buffer.alloc(4), tiny]), /0 bytes long/],
    [
      'a part of less than none',
      Buffer.concat([head, Buffer.from([255, 255, 255, 248]), tiny]),
      /-8 bytes long/,
    ],
    ['what only begins as a bundle', Buffer.from('#bundles\0\0\0\0'), /is none/],
  ])('without being read, for the time that it would take: %s', (_, bytes, reason) => {
    expect(errorOf(bytes)).toMatch(reason);
  });

  it('but what real senders need is read', () => {
    expect(read(nested(8))).toHaveLength(1);
    const many = bundleOf(...Array<Uint8Array>(OSC_MESSAGES_MOST).fill(tiny));
    expect(read(many)).toHaveLength(OSC_MESSAGES_MOST);
    expect(read(types('i'.repeat(1_026), 4 * 1_026))[0]!.args).toHaveLength(1_026);
  });
});

describe('encoding refuses what would arrive as something else', () => {
  const cases: [string, OscMessage][] = [
    ['a fraction as an integer', { address: '/a', args: [i(1.7)] }],
    ['an integer of more than 32 bits', { address: '/a', args: [i(2 ** 31)] }],
    ['a float that is no number', { address: '/a', args: [f(Number.NaN)] }],
    ['a float beyond 32 bits', { address: '/a', args: [f(1e39)] }],
    ['a text with a NUL', { address: '/a', args: [s('a\0b')] }],
    ['a number as a text', { address: '/a', args: [{ type: 's', value: 5 }] }],
    ['an address without a slash', { address: 'a', args: [] }],
    ['an address with a space', { address: '/a b', args: [] }],
    ['any of it in an array', { address: '/a', args: [[i(0.5)]] }],
  ];
  it.each(cases)('%s', (_, made) => {
    expect(() => encodeOsc(made)).toThrow(RangeError);
    expect(() => encodeOsc({ at: IMMEDIATELY, packets: [made] })).toThrow(RangeError);
  });
});
