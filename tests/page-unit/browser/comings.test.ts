import { describe, expect, it } from 'vitest';
import { comings } from '../../../src/page/browser/frame/comings.js';
import { nextOf } from '../../../src/page/browser/parts/kept-place.js';
import { en } from '../../../src/page/browser/texts/en.js';
import { madeUpRoom } from '../../page/support/made-up-room.js';

describe('what is said of seats', () => {
  const { seats } = madeUpRoom({ seats: 3 });
  const [north, window, door] = seats;
  const said = (...now: typeof seats): string[] => comings(seats, now, en.shell);

  it('is who has left, who has come, and who has another instrument', () => {
    expect(said(...seats)).toEqual([]);
    expect(said(door!, north!)).toEqual(['window has left the room']);
    expect(said(...seats, { ...north!, id: 8, name: 'shelf' })).toEqual([
      'shelf has joined the room',
    ]);
    const refitted = { ...window!, slice: 900, instrument: door!.instrument };
    expect(said(north!, refitted, door!)).toEqual([
      `window has another instrument now: ${door!.instrument.name}`,
    ]);
  });

  it('is nothing of other changes, nor of another order', () => {
    expect(said(door!, window!, { ...north!, plugged: 'lost' })).toEqual([]);
  });
});

describe('the place of a keyboard in a list', () => {
  it('is the next item that is still there, else the one before', () => {
    expect(nextOf(2, [1, 2, 3], [1, 2, 3])).toBe(2);
    expect(nextOf(2, [1, 2, 3], [9, 1, 3])).toBe(3);
    expect(nextOf(3, [1, 2, 3], [1, 2])).toBe(2);
    expect(nextOf(2, [1, 2, 3], [1])).toBe(1);
    expect(nextOf(2, [1, 2, 3], [9])).toBe(9);
    expect(nextOf(2, [1, 2, 3], [])).toBeNull();
  });
});
