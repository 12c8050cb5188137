import type { VoiceEvent } from '../../../room/voice.js';

/** How many events wait at most: more than a second of 32 players who do all they can. */
export const MOST_WAITING = 4_096;

const NOTHING: VoiceEvent = { type: 'silence', t: 0 };

/** Events that wait for their frames, in order, of one frame as they came. It allocates nothing as it goes. */
export class WaitingEvents {
  private readonly events: VoiceEvent[];
  private readonly frames: Float64Array;
  private first = 0;
  private count = 0;

  constructor(private readonly most = MOST_WAITING) {
    this.events = Array.from({ length: most }, () => NOTHING);
    this.frames = new Float64Array(most);
  }

  /** @returns false where there is no room left: it was not taken in */
  add(event: VoiceEvent, frame: number): boolean {
    if (this.count === this.most) return false;
    const { events, frames } = this;
    let i = this.count++;
    // Events come in order, or nearly so: this seldom moves one.
    for (; i > 0 && frames[this.place(i - 1)]! > frame; i--) {
      events[this.place(i)] = events[this.place(i - 1)]!;
      frames[this.place(i)] = frames[this.place(i - 1)]!;
    }
    events[this.place(i)] = event;
    frames[this.place(i)] = frame;
    return true;
  }

  /** Whether one is due before `frame`. */
  due(frame: number): boolean {
    return this.count > 0 && this.frames[this.first]! < frame;
  }

  /** The frame of the next one; only where one is due. */
  get nextFrame(): number {
    return this.frames[this.first]!;
  }

  /** Takes the next one out; only where one is due. */
  take(): VoiceEvent {
    const event = this.events[this.first]!;
    this.events[this.first] = NOTHING;
    this.first = this.place(1);
    this.count--;
    return event;
  }

  private place(i: number): number {
    return (this.first + i) % this.most;
  }
}
