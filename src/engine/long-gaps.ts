import type { VoiceEvent } from '../room/voice.js';
import { SECOND, type Micros } from '../time/micros.js';

/** A silence longer than this is shortened, to this. */
const LONG_SILENCE: Micros = 60 * SECOND;
const KEPT_SILENCE: Micros = 5 * SECOND;
/** So long may notes sound on while nothing else happens. */
const LONGEST_NOTE: Micros = 600 * SECOND;

/** What was taken out of a sound. */
export interface Shortened {
  /** How many times. */
  readonly count: number;
  /** How long all of it was. */
  readonly total: Micros;
}

/**
 * Moves voices together where nothing happens for so long that nobody would listen to it: a take that
 * was begun the day before, or whose times are those of a clock. Anything else keeps its time.
 */
export class GapShortener {
  private readonly sounding = new Set<number>();
  private last: Micros = 0;
  private count = 0;
  private total: Micros = 0;

  /** The event at its time after the gaps before it; events come in the order of time. */
  next(event: VoiceEvent): VoiceEvent {
    const gap = event.t - this.last;
    const [longest, kept] =
      this.sounding.size === 0 ? [LONG_SILENCE, KEPT_SILENCE] : [LONGEST_NOTE, LONGEST_NOTE];
    if (gap > longest) {
      this.count += 1;
      this.total += gap - kept;
    }
    this.last = event.t;
    if (event.type === 'on') this.sounding.add(event.voice);
    else if (event.type === 'off') this.sounding.delete(event.voice);
    else if (event.type === 'silence') this.sounding.clear();
    return this.total === 0 ? event : { ...event, t: event.t - this.total };
  }

  get shortened(): Shortened {
    return { count: this.count, total: this.total };
  }
}
