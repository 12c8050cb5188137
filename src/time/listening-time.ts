import type { Micros } from './micros.js';

/**
 * Time as it counts for whoever waits for something to come. While this program was held up (a busy
 * computer, a process that was stopped) nothing could be heard, so that time is left out, all but
 * `most` between two looks.
 */
export interface ListeningTime {
  /** Takes note that it is `now`; returns how long nobody had listened. To be called steadily. */
  look(now: Micros): Micros;
  /** The listening time at `now`. */
  at(now: Micros): Micros;
  /** How long ago the last look was. */
  since(now: Micros): Micros;
}

export function listeningTime(begin: Micros, most: Micros): ListeningTime {
  let looked = begin;
  let missed = 0;
  return {
    look(now) {
      const over = Math.max(0, now - looked - most);
      missed += over;
      looked = now;
      return over;
    },
    at: (now) => Math.min(now, looked + most) - missed,
    since: (now) => now - looked,
  };
}
