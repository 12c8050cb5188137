import type { Loudness } from '../../engine/builtin/output.js';
import type { Renderer } from '../../engine/builtin/renderer.js';
import { isNote, type VoiceEvent } from '../../room/voice.js';
import { SECOND, type Micros } from '../../time/micros.js';
import { FrameClock } from './frame-clock.js';

/** Blocks after a card was opened that are not counted as late: everything is still warming up. */
const WARM_UP_BLOCKS = 50;
const FULL_SCALE = 32767;

/** Renders what a sound card asks for. */
export class Player {
  /** How many blocks it was asked for, and how often the card had nothing to play by then. */
  blocks = 0;
  dry = 0;
  /** Frames so far. */
  get frame(): number {
    return this.renderer.frame;
  }
  private readonly clock: FrameClock;
  private left = new Float32Array(0);
  private right = new Float32Array(0);
  private last: Micros = Infinity;
  private warming = 0;
  private heard = false;

  constructor(
    private readonly renderer: Renderer,
    private readonly sampleRate: number,
  ) {
    this.clock = new FrameClock(sampleRate);
  }

  /** A card is about to ask for blocks: from now on events count. */
  begin(): void {
    this.heard = true;
    this.warming = WARM_UP_BLOCKS;
    this.last = Infinity;
  }

  /** No card asks any more: what sounds ends, and notes are dropped until one does. */
  end(): void {
    if (this.heard) this.renderer.handle({ type: 'silence', t: 0 }, 0);
    this.heard = false;
  }

  /** Has an event sound one block after `at`, or at once where that is past. */
  handle(event: VoiceEvent, at: Micros): void {
    if (this.heard) this.renderer.handle(event, this.clock.frameAt(at));
    // Who plays, and how loud, is known when there is a card again.
    else if (!isNote(event)) this.renderer.now(event);
  }

  /** Ends all that sounds, with the next block. */
  silence(): void {
    this.renderer.handle({ type: 'silence', t: 0 }, 0);
  }

  /** How loud it is, and how far it was turned down since this was last asked. */
  loudness(): Loudness {
    return this.renderer.loudness();
  }

  /** Fills a block of interleaved left and right samples of 16 bits. */
  fill(block: Int16Array, now: Micros): void {
    const length = block.length >> 1;
    if (this.left.length !== length) {
      this.left = new Float32Array(length);
      this.right = new Float32Array(length);
    }
    const { left, right, renderer } = this;
    this.blocks++;
    // The card holds two blocks at most: after that time without a new one it had nothing to play.
    const longest = (2 * length * SECOND) / this.sampleRate;
    if (this.warming > 0) this.warming--;
    else if (now - this.last > longest) this.dry++;
    this.last = now;
    this.clock.block(now, renderer.frame, length);
    renderer.render(left, right);
    for (let i = 0; i < length; i++) {
      block[2 * i] = Math.round(left[i]! * FULL_SCALE);
      block[2 * i + 1] = Math.round(right[i]! * FULL_SCALE);
    }
  }
}
