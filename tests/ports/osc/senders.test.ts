import { describe, expect, it } from 'vitest';
import { oscSenders, type Sender } from '../../../src/ports/osc/senders.js';
import { MILLISECOND, type Micros } from '../../../src/time/micros.js';
import { listener } from '../midi/fake.js';

const A: Sender = { address: '10.0.0.5', port: 4_000 };
const B: Sender = { address: '10.0.0.9', port: 4_000 };
const A2: Sender = { address: '10.0.0.5', port: 4_001 };

function senders() {
  const { told, tell } = listener();
  const is = { silent: false, steady: false };
  const others: number[] = [];
  const own = oscSenders({
    where: 'UDP port 9000',
    tell,
    onOther: (seat) => others.push(seat),
    attending: {
      isSilent: () => is.silent,
      isSteady: () => is.steady,
      handed: () => undefined,
      unread: () => undefined,
    },
  });
  let t: Micros = 0;
  return {
    told,
    is,
    others,
    /** Whether a packet is played, `after` ms after the last one. */
    send: (from: Sender, after = 10) => own.admits('north', 3, from, (t += after * MILLISECOND)),
    warnings: () => told.filter(({ level }) => level === 'warn'),
  };
}

describe('boards that send steadily', () => {
  it.each([
    ['another address', B],
    ['another port', A2],
  ])('keep their seat from one at %s, who takes it once they are silent', (_where, other) => {
    const { send, is, warnings } = senders();
    for (let i = 0; i < 5; i++) expect(send(A)).toBe(true);
    is.steady = true;
    for (let i = 0; i < 200; i++) {
      expect(send(other)).toBe(false);
      expect(send(A)).toBe(true);
    }
    expect(warnings()).toHaveLength(1);
    expect(send(other, 1_900)).toBe(false);
    is.silent = true;
    expect(send(other)).toBe(true);
    is.silent = false;
    for (let i = 0; i < 5; i++) expect(send(other)).toBe(true);
    expect(send(A)).toBe(false);
    expect(send(other)).toBe(true);
  });

  it('are named with their addresses and the usual cause', () => {
    const { send, is, warnings } = senders();
    send(A);
    is.steady = true;
    send(B);
    send(A);
    expect(warnings()).toMatchObject([
      {
        what: 'Two boards send as "north": the one at 10.0.0.5 plays, the one at 10.0.0.9 is not heard',
        where: 'UDP port 9000',
        next: expect.stringContaining('one sketch was flashed to both') as string,
      },
    ]);
  });

  it('that began again by another port are back once they counted as silent, without a word', () => {
    const { send, is, told, others } = senders();
    for (let i = 0; i < 5; i++) send(A);
    is.steady = true;
    expect(send(A2, 100)).toBe(false);
    is.silent = true;
    expect(send(A2, 200)).toBe(true);
    expect([told, others]).toEqual([[], []]);
  });

  it('at another address are other units, of which nothing was learned', () => {
    const { send, is, told, others } = senders();
    send(A);
    is.silent = true;
    send(B);
    expect(others).toEqual([3]);
    expect(told.map(({ what }) => what)).toEqual([
      'The board at 10.0.0.9 plays now, since the one at 10.0.0.5 fell silent',
    ]);
  });
});

describe('boards that only send changes', () => {
  it('are back by another port after a second, by another address after two', () => {
    const { send, told } = senders();
    for (let i = 0; i < 5; i++) send(A);
    expect(send(A2, 900)).toBe(false);
    expect(send(A2, 200)).toBe(true);
    for (let i = 0; i < 5; i++) send(A2);
    expect(send(B, 1_900)).toBe(false);
    expect(send(B, 200)).toBe(true);
    expect(told.map(({ level }) => level)).toEqual(['info']);
  });

  it('that take turns are two, and the first has its seat back', () => {
    const { send, warnings, others } = senders();
    for (let i = 0; i < 5; i++) send(A);
    expect(send(B, 2_500)).toBe(true);
    expect(send(A, 500)).toBe(true);
    expect(warnings()).toHaveLength(1);
    expect(others).toEqual([3, 3]);
    // Now that it is known, the other has to wait for longer.
    expect(send(B, 2_500)).toBe(false);
    expect(send(A)).toBe(true);
    expect(send(B, 5_000)).toBe(true);
    expect(warnings()).toHaveLength(1);
  });
});

describe('a sender with a new port for each packet', () => {
  it('is one board', () => {
    const { send, is, told } = senders();
    for (let i = 0; i < 300; i++) {
      expect(send({ ...A, port: 30_000 + i })).toBe(true);
      is.steady = i > 100;
    }
    expect(told).toEqual([]);
  });
});

describe('senders without end', () => {
  it('are told of a few times, and never played', () => {
    const { send, is, warnings } = senders();
    for (let i = 0; i < 5; i++) send(A);
    is.steady = true;
    for (let i = 0; i < 10_000; i++) {
      expect(send({ address: `10.1.${String(i >> 8)}.${String(i & 255)}`, port: 1 })).toBe(false);
      send(A);
    }
    expect(warnings().length).toBeLessThanOrEqual(16);
    expect(warnings().at(-1)!.what).toContain('More and more senders');
  });
});
