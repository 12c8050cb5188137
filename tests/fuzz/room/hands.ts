import { SECOND, type Micros } from '../../../src/time/micros.js';
import type { Move } from './moves.js';
import { REST, SEATS, SPAN, wireOf } from './seats.js';

/** Nothing sounds so long after the last touch: open strings ring for four seconds, by the shipped rules. */
export const STILL_AFTER: Micros = 5 * SECOND;

/** A board that stopped is lost by then. */
export const SILENT_AFTER: Micros = 2 * SECOND;

/** So little of a full touch is noise. */
const NOISE = 0.05;

export const scansAll = (seat: number): boolean => ['calibrated', 'unknown'].includes(wireOf(seat));

/** Keeps an account of what the boards have said, to know which seats must be silent. */
export interface Hands {
  see(move: Move): void;
  /**
   * Whether a seat must be silent: its board was lost, or for five seconds it has not said that anything is
   * touched; one that scans must go on, or its stop be noticed. A wire that tells only changes says that a pad is touched until it says that it is
   * not; so does another computer with its notes.
   */
  areOff(seat: number, t: Micros): boolean;
}

interface Said {
  lost: boolean;
  last: Micros;
  touched: Micros;
  readonly held: Set<number>;
}

/** @param noticed boards that scan and stop are noticed */
export function handsOf(noticed: boolean): Hands {
  const said = Array.from({ length: SEATS }, (): Said => ({
    lost: true,
    last: 0,
    touched: 0,
    held: new Set(),
  }));

  return {
    see(move) {
      if (move.what !== 'gone' && move.what !== 'note' && move.what !== 'scan') return;
      const { at, seat } = move;
      const own = said[seat]!;
      own.lost = move.what === 'gone' && move.why === 'lost';
      own.last = at;
      if (own.lost) own.held.clear();
      if (move.what === 'note') {
        if (move.on) own.held.add(move.voice);
        else own.held.delete(move.voice);
        own.touched = at;
      } else if (move.what === 'scan') {
        for (const [i, input] of move.inputs.entries()) {
          const raw = move.raws[i]!;
          if (!scansAll(seat)) {
            own.touched = at;
            if (raw > 0) own.held.add(input);
            else own.held.delete(input);
          } else if (Math.abs(raw - REST(seat, input)) > NOISE * SPAN(seat, input))
            own.touched = at;
        }
      }
    },
    areOff(seat, t) {
      const { lost, last, touched, held } = said[seat]!;
      if (lost) return true;
      if (held.size > 0 || t - touched < STILL_AFTER) return false;
      return !scansAll(seat) || noticed || t - last <= SILENT_AFTER;
    },
  };
}
