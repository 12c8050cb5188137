import { ALL_KINDS } from '../../../engine/builtin/ensemble.js';
import { createRenderer, type Renderer } from '../../../engine/builtin/renderer.js';
import { warmUp } from '../../../engine/builtin/warm-up.js';
import {
  isNote,
  type Mix,
  type SeatSound,
  type Silence,
  type VoiceEvent,
} from '../../../room/voice.js';
import type { FromRenderer, ToRenderer } from './messages.js';
import { seatAfter } from './seat-after.js';
import { WaitingEvents } from './waiting-events.js';

type Begin = Extract<ToRenderer, { type: 'begin' }>;

const SILENCE: Silence = { type: 'silence', t: 0 };
/** So many failures are fixed by beginning again; each second without one takes one back. */
const MOST_FAULTS = 3;

/**
 * The built-in engine's renderer as a browser runs it: events by message, each at its frame, samples a block
 * at a time. Filling a block allocates nothing and sends nothing, but where rendering fails.
 *
 * It knows neither AudioWorklet nor Worker, so that both can run it.
 */
export class Rendering {
  private readonly waiting = new WaitingEvents();
  private begun: Begin | null = null;
  private renderer: Renderer | null = null;
  /** What to take off a frame of the context to have one of the renderer. */
  private shift = 0;
  private nextFrame = -1;
  /** By slot, who plays and how it is mixed now, to go on with after a fault. */
  private seats: (SeatSound | null)[] = [];
  private readonly mixes: (Mix | undefined)[] = [];
  private warm = false;
  private late = 0;
  private unseen = 0;
  private faults = 0;

  /**
   * @param sampleRate frames a second
   * @param make how to make a renderer; for tests
   */
  constructor(
    private readonly sampleRate: number,
    private readonly tell: (message: FromRenderer) => void,
    private readonly make: typeof createRenderer = createRenderer,
  ) {}

  handle(message: ToRenderer): void {
    switch (message.type) {
      case 'begin':
        this.begin(message);
        return;
      case 'events':
        this.takeIn(message.events, message.frames);
        return;
      case 'silence':
        this.silence();
        return;
      case 'alive':
        this.unseen = 0;
        this.answer();
        return;
      case 'render':
        this.fill(message.left, message.right, message.frame);
        this.tell({ ...message, type: 'rendered' });
        return;
    }
  }

  /** Fills a block whose first frame is `frame` of the context. It never throws. */
  fill(left: Float32Array, right: Float32Array, frame: number): void {
    const { renderer, begun } = this;
    if (!renderer || !begun) {
      left.fill(0);
      right.fill(0);
      return;
    }
    if (frame !== this.nextFrame) this.shift = frame - renderer.frame;
    this.nextFrame = frame + left.length;
    this.lookOut(left.length, begun.patience);
    try {
      this.dispatch(renderer, frame, left.length);
      renderer.render(left, right);
    } catch (error) {
      left.fill(0);
      right.fill(0);
      this.fault(error);
    }
  }

  /** Hands on what is due in this block, so that what waits longer can still be dropped. */
  private dispatch(renderer: Renderer, frame: number, length: number): void {
    while (this.waiting.due(frame + length)) {
      const at = this.waiting.nextFrame;
      const event = this.waiting.take();
      this.follow(event);
      if (isNote(event) && frame - at > this.late) this.late = frame - at;
      renderer.handle(event, at - this.shift);
    }
  }

  /** Keeps who plays, and how it is mixed. */
  private follow(event: VoiceEvent): void {
    if (event.type === 'mix') this.mixes[event.seat] = event;
    else if (seatAfter(this.seats, event)) this.mixes[event.seat] = undefined;
  }

  private begin(message: Begin): void {
    this.begun = message;
    this.seats = [...message.seats];
    this.faults = 0;
    this.mixes.length = 0;
    this.drop();
    try {
      this.build();
    } catch (error) {
      this.fault(error);
      return;
    }
    this.tell({ type: 'ready' });
  }

  private build(): void {
    const { seed, ceiling } = this.begun!;
    const { seats, sampleRate } = this;
    // Whatever kind of instrument may join, it is ready: the others must not break off for it.
    const options = { seats, seed, ceiling, sampleRate, kinds: ALL_KINDS };
    if (!this.warm) warmUp(options);
    this.warm = true;
    this.renderer = this.make(options);
    this.nextFrame = -1;
    for (const mix of this.mixes) if (mix) this.renderer.handle(mix, 0);
  }

  private takeIn(events: readonly VoiceEvent[], frames: readonly number[]): void {
    for (const [i, event] of events.entries()) {
      if (this.waiting.add(event, frames[i] ?? 0)) continue;
      this.silence();
      this.tell({ type: 'overflow' });
      return;
    }
  }

  /** Drops what waits, and ends what sounds. */
  private silence(): void {
    this.drop();
    this.renderer?.handle(SILENCE, 0);
  }

  /** Drops what waits but for who plays and how it is mixed, which holds from now on. */
  private drop(): void {
    while (this.waiting.due(Infinity)) {
      const event = this.waiting.take();
      if (isNote(event)) continue;
      this.follow(event);
      this.renderer?.handle(event, 0);
    }
  }

  /** Ends what sounds where the page was not heard of for too long. */
  private lookOut(frames: number, patience: number): void {
    const most = patience * this.sampleRate;
    if (this.unseen >= most) return;
    this.unseen += frames;
    if (this.unseen >= most) this.silence();
  }

  private answer(): void {
    if (!this.renderer) return;
    if (this.faults > 0) this.faults = Math.max(0, this.faults - 0.25);
    this.tell({ type: 'told', loudness: this.renderer.loudness(), late: this.late });
    this.late = 0;
  }

  private fault(error: unknown): void {
    const why = error instanceof Error ? error.message : String(error);
    this.renderer = null;
    this.drop();
    this.faults++;
    const final = this.faults > MOST_FAULTS;
    if (!final) {
      try {
        this.build();
      } catch {
        this.faults = Infinity;
      }
    }
    this.tell({ type: 'fault', why, final: final || this.faults === Infinity });
  }
}
