import type { ScreenSource } from '../../ports/screen-source.js';
import type { HostSeat } from './seats.js';

/** Fingers on the drawings of the page. */
export interface Presses {
  /** False where the seat is not played on the page. */
  press(seat: HostSeat, pad: number, strength: number): boolean;
  release(seat: HostSeat, pad: number): boolean;
  /** The seat leaves, or gets other pads: lets go of all that is pressed of it. */
  releaseSeat(seat: HostSeat): void;
  /** Whoever pressed is gone: lets go of everything. */
  releaseAll(): void;
}

export function presses(screen: Pick<ScreenSource, 'press' | 'release'> | null): Presses {
  const pressed = new Map<HostSeat, Set<number>>();

  function releaseSeat(seat: HostSeat): void {
    for (const pad of pressed.get(seat) ?? []) screen?.release(seat.slot, pad);
    pressed.delete(seat);
  }

  return {
    press(seat, pad, strength) {
      if (!screen || !seat.screen) return false;
      const pads = pressed.get(seat) ?? new Set();
      pressed.set(seat, pads.add(pad));
      screen.press(seat.slot, pad, strength);
      return true;
    },
    release(seat, pad) {
      if (!screen || !seat.screen) return false;
      pressed.get(seat)?.delete(pad);
      screen.release(seat.slot, pad);
      return true;
    },
    releaseSeat,
    releaseAll() {
      for (const seat of [...pressed.keys()]) releaseSeat(seat);
    },
  };
}
