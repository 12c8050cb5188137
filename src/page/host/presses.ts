import type { ScreenSource } from '../../ports/screen-source.js';
import type { HostSeat } from './seats.js';

/** Fingers on the drawings of the page. */
export interface Presses {
  /** False where the seat is not played on the page. */
  press(seat: number, pad: number, strength: number): boolean;
  release(seat: number, pad: number): boolean;
  /** Whoever pressed is gone: lets go of everything. */
  releaseAll(): void;
}

export function presses(
  screen: Pick<ScreenSource, 'press' | 'release'> | null,
  seats: readonly HostSeat[],
): Presses {
  const pressed = new Map<number, Set<number>>();
  const played = (seat: number): boolean => seats[seat]?.screen === true;

  return {
    press(seat, pad, strength) {
      if (!screen || !played(seat)) return false;
      const pads = pressed.get(seat) ?? new Set();
      pressed.set(seat, pads.add(pad));
      screen.press(seat, pad, strength);
      return true;
    },
    release(seat, pad) {
      if (!screen || !played(seat)) return false;
      pressed.get(seat)?.delete(pad);
      screen.release(seat, pad);
      return true;
    },
    releaseAll() {
      for (const [seat, pads] of pressed) {
        for (const pad of pads) screen?.release(seat, pad);
      }
      pressed.clear();
    },
  };
}
