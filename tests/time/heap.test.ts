import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Heap } from '../../src/time/heap.js';

it('a heap gives the least first, as a sorted list does, whatever goes in and out in between', () => {
  const moves = fc.array(fc.option(fc.nat(50), { freq: 3 }), { maxLength: 200 });
  fc.assert(
    fc.property(moves, (all) => {
      const heap = new Heap<number>((a, b) => a < b);
      const sorted: number[] = [];
      for (const value of all) {
        if (value === null) {
          expect(heap.pop()).toBe(sorted.shift());
        } else {
          heap.push(value);
          sorted.push(value);
          sorted.sort((a, b) => a - b);
        }
        expect([heap.peek(), heap.size]).toEqual([sorted[0], sorted.length]);
      }
    }),
  );
});
