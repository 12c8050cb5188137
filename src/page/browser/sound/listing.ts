import { isSound, type Mix, type SoundEvent, type VoiceEvent } from '../../../room/voice.js';
import type { Micros } from '../../../time/micros.js';
import type { PlayOptions } from './contract.js';
import type { Sink } from './sink.js';

/** How far ahead events are handed over, in ms: pages are called late now and then. */
const AHEAD = 1_500;
/** How long after it was asked for it begins, in ms. */
const BEGINS_AFTER = 60;
/** How long what sounds at the end may go on, in µs. */
const TAIL: Micros = 2_000_000;

/** Plays a list of voices that were played before, from a position. */
export class Listing {
  private readonly events: readonly SoundEvent[];
  private readonly from: Micros;
  private readonly to: Micros;
  /** The context's time at `from`, in ms. */
  private readonly begun: number;
  private next = 0;
  private silenced = false;
  private ended = false;

  constructor(
    private readonly sink: Sink,
    events: readonly VoiceEvent[],
    private readonly options: PlayOptions,
  ) {
    // Its seats are the sink's, from the beginning to the end.
    this.events = events.filter(isSound);
    this.from = options.from ?? events[0]?.t ?? 0;
    this.to = Math.max(this.from, options.to ?? (events.at(-1)?.t ?? this.from) + TAIL);
    sink.silence();
    this.begun = sink.time() + sink.ahead() + BEGINS_AFTER;
    this.mixSeats();
    this.tick();
  }

  /** To be called some tens of times a second, until it says false: it has come to its end. */
  tick(): boolean {
    if (this.ended) return false;
    const { sink, events } = this;
    const time = sink.time();
    const until = this.from + (time + sink.ahead() + AHEAD - this.begun) * 1_000;
    const due: VoiceEvent[] = [];
    for (; this.next < events.length; this.next++) {
      const event = events[this.next]!;
      if (event.t >= until || event.t >= this.to) break;
      due.push(event);
    }
    if (until >= this.to && !this.silenced) {
      due.push({ type: 'silence', t: this.to });
      this.silenced = true;
    }
    if (due.length > 0) {
      sink.send(
        due,
        due.map(({ t }) => this.frameOf(t)),
      );
    }
    const heard = this.from + (time - sink.outputDelay() - this.begun) * 1_000;
    this.options.onPosition?.(Math.min(this.to, Math.max(this.from, Math.round(heard))));
    if (heard < this.to) return true;
    this.end();
    return false;
  }

  /** Ends it, and what sounds of it. */
  end(): void {
    if (this.ended) return;
    this.ended = true;
    this.sink.silence();
    this.options.onEnd?.();
  }

  /** Ends what sounds; it goes on with what begins from now on. */
  silence(): void {
    this.sink.silence();
    if (this.ended) return;
    const now = this.from + (this.sink.time() + this.sink.ahead() - this.begun) * 1_000;
    const next = this.events.findIndex(({ t }) => t >= now);
    this.next = Math.min(this.next, next < 0 ? this.events.length : next);
    this.silenced = false;
  }

  /** Every seat as it is at `from`: as it began, or as it was changed since. */
  private mixSeats(): void {
    const mixes = this.sink.seats.flatMap((one, seat): Mix[] => {
      if (!one) return [];
      const { level, pan, sound } = one;
      return [{ type: 'mix', t: 0, seat, level, pan, sound, lead: false }];
    });
    for (; (this.events[this.next]?.t ?? Infinity) < this.from; this.next++) {
      const event = this.events[this.next]!;
      if (event.type === 'mix' && event.seat < mixes.length) mixes[event.seat] = event;
    }
    this.sink.send(
      mixes,
      mixes.map(() => 0),
    );
  }

  private frameOf(t: Micros): number {
    const ms = this.begun + (t - this.from) / 1_000;
    return Math.round((ms * this.sink.sampleRate) / 1_000);
  }
}
