import type { Micros } from './micros.js';

/** Whatever happens has its time with it: no stage ever asks what time it is. */
export interface Timed {
  readonly t: Micros;
}

/** The wake-up that a stage asked for, at the time it asked for (not the time the timer fired). */
export interface Wake extends Timed {
  readonly type: 'wake';
}

/**
 * Why everything that is held must end:
 * lost (the device went away), quiet (it is there, but has stopped sending), reload (new rules or
 * files), overflow (readings were dropped), fault (a stage threw), silence (a person asked for it),
 * end (no more input will come).
 */
export type Reason = (typeof REASONS)[number];

export const REASONS = ['lost', 'quiet', 'reload', 'overflow', 'fault', 'silence', 'end'] as const;

/** Ends whatever a stage holds. Every stage answers it so, and passes it on. */
export interface Reset extends Timed {
  readonly type: 'reset';
  readonly why: Reason;
}
