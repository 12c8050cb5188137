import type { VoiceEvent } from '../../room/voice.js';
import { SECOND } from '../../time/micros.js';
import { wavBytes } from '../wav.js';
import type { Loudness } from './output.js';
import { createRenderer, type Renderer, type RendererOptions } from './renderer.js';
import type { Synth } from './synth.js';

export interface OfflineOptions extends RendererOptions {
  /** How long to go on after the last event, in seconds. */
  readonly tailSeconds: number;
  /** What makes the samples; left out: the own voices. */
  readonly synth?: Synth;
  /** Told at the end how loud it was. */
  readonly onLoudness?: (loudness: Loudness) => void;
}

/** Stereo samples, −1 to 1, as long as each other. */
export interface Chunk {
  readonly left: Float32Array;
  readonly right: Float32Array;
}

const CHUNK_FRAMES = 8192;
/** Whatever still sounds at the end of the tail is silenced this long before it, in seconds. */
const LAST_SILENCE = 0.01;

/** Renders voice events as they come, faster than they were played. */
export class OfflineRenderer {
  private readonly renderer: Renderer;
  private last = 0;

  constructor(private readonly options: OfflineOptions) {
    this.renderer = createRenderer(options, options.synth);
  }

  /**
   * Takes the next event, in the order of time, `t` in microseconds from 0.
   *
   * @returns new arrays with what sounds until then
   */
  *play(event: VoiceEvent): Generator<Chunk, void, undefined> {
    this.last = Math.max(this.last, Math.round((event.t * this.options.sampleRate) / SECOND));
    yield* this.upTo(this.last);
    this.renderer.handle(event, this.last);
  }

  /** The rest, until `tailSeconds` after the last event. */
  *end(): Generator<Chunk, void, undefined> {
    const { renderer, last, options } = this;
    const { sampleRate } = options;
    const end = last + Math.round(options.tailSeconds * sampleRate);
    const hush = Math.max(last, end - Math.round(LAST_SILENCE * sampleRate));
    renderer.handle({ type: 'silence', t: Math.round((hush / sampleRate) * SECOND) }, hush);
    yield* this.upTo(end + renderer.latency);
    options.onLoudness?.(renderer.loudness());
  }

  private *upTo(end: number): Generator<Chunk, void, undefined> {
    const { renderer } = this;
    while (renderer.frame < end) {
      const size = Math.min(CHUNK_FRAMES, end - renderer.frame);
      const early = Math.max(0, renderer.latency - renderer.frame);
      const left = new Float32Array(size);
      const right = new Float32Array(size);
      renderer.render(left, right);
      if (early < size) yield { left: left.subarray(early), right: right.subarray(early) };
    }
  }
}

/**
 * Renders voice events faster than they were played.
 *
 * @param events in the order of time, `t` in microseconds from 0; read as the rendering gets there
 * @returns chunks of new arrays, from time 0 until `tailSeconds` after the last event; an event sounds at
 *   frame t·sampleRate/10⁶, the limiter's look-ahead being taken out
 */
export function* renderOffline(
  events: Iterable<VoiceEvent>,
  options: OfflineOptions,
): Generator<Chunk, void, undefined> {
  const renderer = new OfflineRenderer(options);
  for (const event of events) yield* renderer.play(event);
  yield* renderer.end();
}

/** Renders voice events to the bytes of a WAV file; see `renderOffline` and `wavBytes`. */
export function renderWav(events: Iterable<VoiceEvent>, options: OfflineOptions): Uint8Array {
  return wavBytes(renderOffline(events, options), options);
}
