import type { Build } from '../../../instrument/types.js';
import type { SeatPlan } from '../../../pipeline.js';
import type { Micros } from '../../../time/micros.js';
import type { WireEvent } from '../../../wire/scan.js';
import type { Ask } from '../../link/asks.js';
import type { PadVerdict, PageGuide } from '../../link/state.js';

export type GuideKind = Extract<Ask, { ask: 'guide' }>['guide'];
export type GuideStep = Exclude<Extract<Ask, { ask: 'guide' }>['do'], 'begin'>;

/**
 * All that has to be known of a seat to judge its pads and to guide through its wiring, as it plays now:
 * its build tells the wiring and the calibration so far.
 */
export type GuidedSeat = Pick<SeatPlan, 'instrument' | 'pads' | 'made'>;

/** What comes out. All of it is called from within the calls below; nothing here sets a timer. */
export interface GuidesOut {
  /**
   * The guide as pages are to see it; null: none is there any more. While it is there and neither
   * `done` nor `failed`, its seat is to be held (muted) and its readings are needed.
   */
  guide(now: PageGuide | null): void;
  /** A guide has ended with this build: to be written, then `built` is to be called. */
  build(seat: number, build: Build): void;
  /** What is to be said of a watched seat's pads now. */
  verdicts(seat: number, pads: readonly PadVerdict[]): void;
}

/**
 * The guided steps of wiring and calibration, one at a time in the whole room, and what is to be said
 * of the pads of the seats that are watched. Times are of the readings' own clock, and never fall.
 */
export interface Guides {
  /** Begins a guide; returns why not, with what to do, in words, or null where it has begun. */
  begin(seat: number, guide: GuideKind, plan: GuidedSeat, t: Micros): string | null;
  /** A step of the guide that is on; returns why not, in words, or null where it was done. */
  do(seat: number, step: GuideStep, t: Micros): string | null;
  /** The build that came out was written to `file`, or could not be: `fault` says why. */
  built(seat: number, written: { readonly file: string } | { readonly fault: string }): void;
  /** A reading of a seat that is guided or watched, or that its unit went away (a `lost` reset). */
  scan(seat: number, event: WireEvent): void;
  /** Readings of a seat have been lost on their way here. */
  gap(seat: number, t: Micros): void;
  /** Watches a seat for verdicts, or, with null, no longer; again where its plan has changed. */
  watch(seat: number, plan: GuidedSeat | null): void;
  /** A seat has left: it is watched no more, and its guide, if it has one, is over without a build. */
  left(seat: number): void;
  /** Whether any page is there that may see the guide: without one it ends after a while. */
  looked(on: boolean, t: Micros): void;
  /** To be called a few times a second at least, with the time now. */
  wake(t: Micros): void;
  /** The seats whose readings are needed. */
  readonly needs: readonly number[];
}
