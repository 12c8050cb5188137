import fc from 'fast-check';
import osc from 'osc/src/osc.js';
import { describe, expect, it } from 'vitest';
import { encodeOsc, type OscArg } from '../../src/wire/osc-codec.js';

const int = fc
  .integer({ min: -(2 ** 31), max: 2 ** 31 - 1 })
  .map((value) => ({ type: 'i', value }));
const float = fc
  .float({ noNaN: true, noDefaultInfinity: true })
  .map((value) => ({ type: 'f', value }));
const text = fc.stringMatching(/^[a-z]{0,9}$/).map((value) => ({ type: 's', value }));

describe('packets of numbers that are filled in again', () => {
  it('are byte for byte what the osc package writes, whatever came on the address before', () => {
    fc.assert(
      fc.property(
        fc.array(
          fc.record({
            address: fc.constantFrom('/a', '/note/on', '/abc', '/abcd'),
            args: fc.oneof(
              fc.array(fc.oneof(int, float), { maxLength: 6 }),
              fc.array(fc.oneof(int, float, text), { maxLength: 4 }),
            ),
          }),
          { maxLength: 30 },
        ),
        (messages) => {
          for (const { address, args } of messages) {
            const wanted = osc.writePacket(
              { address, args },
              { metadata: true, unpackSingleArgs: false },
            );
            expect([...encodeOsc({ address, args })]).toEqual([...wanted]);
          }
        },
      ),
    );
  });

  it('refuse what OSC cannot carry also the second time', () => {
    const send = (arg: OscArg): Uint8Array => encodeOsc({ address: '/again', args: [arg] });
    send({ type: 'i', value: 1 });
    expect(() => send({ type: 'i', value: 1.5 })).toThrow(RangeError);
    send({ type: 'f', value: 1 });
    expect(() => send({ type: 'f', value: NaN })).toThrow(RangeError);
  });

  it('are each their own: a later one changes none before it', () => {
    const first = encodeOsc({ address: '/own', args: [{ type: 'i', value: 1 }] });
    const again = encodeOsc({ address: '/own', args: [{ type: 'i', value: 2 }] });
    encodeOsc({ address: '/own', args: [{ type: 'i', value: 3 }] });
    expect([first.at(-1), again.at(-1)]).toEqual([1, 2]);
  });
});
