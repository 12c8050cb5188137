import { describe, expect, it } from 'vitest';
import type { Notice } from '../../../src/ports/contracts.js';
import { networkBudget } from '../../../src/ports/osc/network-budget.js';
import { encodeOsc } from '../../../src/wire/osc-codec.js';
import { IMMEDIATELY } from '../../../src/wire/osc-time.js';
import { encodePads } from '../../../src/wire/osc-pads.js';

/** A budget in the test's time, in ms; `send` spreads so many datagrams a second evenly over some seconds. */
function budget() {
  let now = 0;
  const notices: Notice[] = [];
  const dropped: (string | null)[] = [];
  const own = networkBudget({ tell: (notice) => notices.push(notice), timers: { now: () => now } });
  own.onDropped((address) => dropped.push(address));
  const admitted = new Map<string, number>();
  function send(
    seconds: number,
    senders: readonly (readonly [string, number, Uint8Array])[],
  ): void {
    const begun = now;
    for (let step = 0; step < seconds * 100; step++) {
      now = begun + 10 * step;
      for (const [address, perSecond, bytes] of senders) {
        for (let n = 0; n < perSecond / 100; n++) {
          if (own.admits(address, bytes)) admitted.set(address, (admitted.get(address) ?? 0) + 1);
        }
      }
    }
    now = begun + 1_000 * seconds;
  }
  return { own, notices, dropped, admitted, send };
}

const inputs = Array.from({ length: 20 }, (_, input) => input);
/** A scan of 20 pads; 124 bytes. */
const SCAN = encodePads({ seat: 'north', inputs, raws: inputs.map(() => 1_000) });
const boards = Array.from({ length: 20 }, (_, n) => `10.0.0.${String(n + 1)}`);

describe('what a network may send', () => {
  it('leaves twenty boards alone that send four messages a scan, 250 times a second', () => {
    const { send, admitted, notices } = budget();
    send(
      20,
      boards.map((address) => [address, 1_000, SCAN]),
    );
    expect(boards.map((address) => admitted.get(address))).toEqual(boards.map(() => 20_000));
    expect(notices).toEqual([]);
  });

  it('leaves a computer alone that sends as much for twenty seats, even after a stall of a second', () => {
    const { send, admitted, notices } = budget();
    send(5, [['10.0.0.9', 10_000, SCAN]]);
    send(1, []);
    send(0.01, [['10.0.0.9', 1_000_000, SCAN]]);
    send(5, [['10.0.0.9', 10_000, SCAN]]);
    expect(admitted.get('10.0.0.9')).toBe(110_000);
    expect(notices).toEqual([]);
  });

  it('drops what one sender sends over it, says so once with its address, and costs no other a packet', () => {
    const { send, admitted, notices, dropped } = budget();
    send(10, [
      ['10.9.9.9', 100_000, SCAN],
      ['10.9.9.8', 100_000, SCAN],
      ['10.9.9.7', 100_000, SCAN],
      ...boards.map((address) => [address, 1_000, SCAN] as const),
    ]);
    expect(boards.map((address) => admitted.get(address))).toEqual(boards.map(() => 10_000));
    // Each second that one is read, and the second after.
    expect(admitted.get('10.9.9.9')).toBeLessThan(150_000);
    expect(notices.map(({ what }) => what)).toEqual(
      ['10.9.9.9', '10.9.9.8', '10.9.9.7'].map(
        (address) => expect.stringMatching(new RegExp(`^${address} sends more than`)) as string,
      ),
    );
    expect(notices[0]!.next).toContain('10.9.9.9');
    expect(dropped.length).toBeGreaterThan(9);
    expect(dropped.length).toBeLessThanOrEqual(30);
  });

  it('counts messages and bytes, so that large packets are not cheap', () => {
    const packets = Array.from({ length: 400 }, () => ({ address: '/x', args: [] }));
    const many = encodeOsc({ at: IMMEDIATELY, packets });
    for (const bytes of [many, new Uint8Array(8_192)]) {
      const { send, admitted } = budget();
      send(10, [['10.9.9.9', 2_000, bytes]]);
      expect(admitted.get('10.9.9.9')).toBeLessThan(5_000);
    }
  });

  it('keeps a limited list of senders, however many addresses somebody makes up', () => {
    const { own, send, dropped } = budget();
    const before = process.memoryUsage().heapUsed;
    for (let n = 0; n < 300_000; n++) own.admits(`10.${String(n)}`, SCAN);
    expect(process.memoryUsage().heapUsed - before).toBeLessThan(20_000_000);
    // Who was not known by then shares what is left with all others.
    expect(dropped).toContain(null);
    send(12, []);
    expect(own.admits('10.0.0.1', SCAN)).toBe(true);
  });
});
