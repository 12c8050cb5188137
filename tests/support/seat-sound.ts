import type { SeatSound } from '../../src/engine/seat-sound.js';

/** A seat with a bass at full level in the middle, but for what is given. */
export function seatSound(own: Partial<SeatSound> = {}): SeatSound {
  return { name: 'north', kind: 'strings', sound: 34, level: 1, pan: 0, strings: 4, ...own };
}
