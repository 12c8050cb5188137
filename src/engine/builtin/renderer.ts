import type { VoiceEvent } from '../../room/voice.js';
import { Ensemble, type EnsembleOptions } from './ensemble.js';
import { Output, type Ceiling, type Loudness } from './output.js';
import { QUANTUM, type Synth } from './synth.js';

/** The same seed and events give the same samples, whatever the lengths of the blocks. */
export interface RendererOptions extends EnsembleOptions {
  /** What the output keeps to; left out: true peaks of −1 dBTP. */
  readonly ceiling?: Ceiling;
}

/** Events in, samples out. It asks for no time, and after its first blocks it allocates nothing. */
export interface Renderer {
  /** How many frames were rendered so far: the number of the next one. */
  readonly frame: number;
  /** Frames by which everything comes later than its event's frame: the limiter's look-ahead. */
  readonly latency: number;
  /** Has an event happen at a frame; one that is past already happens at the next. */
  handle(event: VoiceEvent, atFrame: number): void;
  /** Has an event happen at once, before all that waits: for what counts while nothing is rendered. */
  now(event: VoiceEvent): void;
  /** Fills two channels of one length, any length. True peaks never pass the ceiling. */
  render(left: Float32Array, right: Float32Array): void;
  /** How loud it is, and how far it was turned down since this was last asked. */
  loudness(): Loudness;
}

/** @param synth what makes the samples; left out: the own voices */
export function createRenderer(
  options: RendererOptions,
  synth: Synth = new Ensemble(options),
): Renderer {
  return new BlockRenderer(new Output(options.sampleRate, options.ceiling), synth);
}

class BlockRenderer implements Renderer {
  frame = 0;
  readonly latency: number;
  /** Waiting events and their frames, in order; those before `next` are done. */
  private readonly events: VoiceEvent[] = [];
  private readonly frames: number[] = [];
  private next = 0;

  constructor(
    private readonly output: Output,
    private readonly synth: Synth,
  ) {
    this.latency = output.latency;
  }

  handle(event: VoiceEvent, atFrame: number): void {
    const { events, frames } = this;
    const at = Math.max(this.frame, Math.round(atFrame) || 0);
    let i = events.length;
    events.push(event);
    frames.push(at);
    for (; i > this.next && frames[i - 1]! > at; i--) {
      events[i] = events[i - 1]!;
      frames[i] = frames[i - 1]!;
    }
    events[i] = event;
    frames[i] = at;
  }

  now(event: VoiceEvent): void {
    const { synth } = this;
    switch (event.type) {
      case 'on':
        synth.on(event);
        return;
      case 'off':
        synth.off(event);
        return;
      case 'mix':
        synth.mix(event);
        return;
      case 'joined':
        synth.seat(event.seat, event.sound);
        return;
      case 'left':
        synth.seat(event.seat, null);
        return;
      case 'silence':
        synth.silence();
    }
  }

  render(left: Float32Array, right: Float32Array): void {
    let done = 0;
    while (done < left.length) {
      this.dispatch();
      let count = Math.min(left.length - done, QUANTUM - (this.frame % QUANTUM));
      if (this.next < this.frames.length) {
        count = Math.min(count, this.frames[this.next]! - this.frame);
      }
      this.synth.render(left, right, done, done + count);
      this.output.process(left, right, done, done + count);
      done += count;
      this.frame += count;
      if (this.frame % QUANTUM === 0) this.synth.quantum();
    }
  }

  loudness(): Loudness {
    return this.output.loudness();
  }

  private dispatch(): void {
    const { events, frames } = this;
    for (; this.next < events.length && frames[this.next]! <= this.frame; this.next++) {
      this.now(events[this.next]!);
    }
    if (this.next > 0 && this.next === events.length) {
      events.length = frames.length = this.next = 0;
    }
  }
}
