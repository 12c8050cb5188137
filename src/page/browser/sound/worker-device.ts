import { rendererUrl, STOPPED, type Device, type Told } from './device.js';
import type { Block, FromRenderer, ToRenderer } from './messages.js';
import type { WorkerStart } from './worklet.js';

/** Frames at a time, 11 ms at 48 kHz. */
const BLOCK = 512;
/** How far ahead it renders at first, and at most, in ms: a page draws and collects garbage meanwhile. */
const AHEAD = 100;
const MOST_AHEAD = 400;
/** How much further after each gap. */
const MORE = 1.4;
/** How soon a block may begin after it was asked for, in ms. */
const SOONEST = 30;
/** What was lined up already ends in this time, in seconds, where there is to be silence. */
const HUSH = 0.005;

/**
 * Renders in a worker and lines its blocks up as AudioBuffers, each at its own frame: later by some 100 ms, but it
 * works where a page came over plain http, and browsers offer it no AudioWorklet.
 */
export class WorkerDevice implements Device {
  readonly node: GainNode;
  private readonly worker: Worker;
  private readonly zeros: ConstantSourceNode;
  private readonly spare: Omit<Block, 'frame'>[] = [];
  private readonly lined = new Set<AudioBufferSourceNode>();
  readonly ready: Promise<void>;
  private begun: () => void = () => undefined;
  private broken: (error: Error) => void = () => undefined;
  private prepared = false;
  /** Blocks that were asked for, and how many of them are not wanted any more. */
  private underway = 0;
  private unwanted = 0;
  private next = 0;
  private aheadMs = AHEAD;
  private missed = 0;
  private closed = false;

  constructor(
    private readonly context: AudioContext,
    private readonly told: Told,
  ) {
    this.node = context.createGain();
    this.zeros = endlessZeros(this.node);
    this.ready = new Promise((resolve, reject) => {
      this.begun = resolve;
      this.broken = reject;
    });
    this.worker = new Worker(rendererUrl(), { type: 'module' });
    this.worker.onmessage = ({ data }) => {
      this.onMessage(data as FromRenderer);
    };
    this.worker.onerror = () => {
      told({ type: 'fault', why: STOPPED, final: true });
      this.broken(new Error(STOPPED));
    };
    this.worker.postMessage({ type: 'rate', sampleRate: context.sampleRate } satisfies WorkerStart);
  }

  ahead(): number {
    return this.aheadMs;
  }

  gaps(): number {
    return this.missed;
  }

  post(message: ToRenderer): void {
    this.worker.postMessage(message);
    if (message.type === 'begin') this.prepared = false;
    if (message.type === 'begin' || message.type === 'silence') this.hush();
    // Some times a second, should nothing be under way any more.
    this.order();
  }

  close(): void {
    this.closed = true;
    this.worker.terminate();
    this.zeros.stop();
    this.node.disconnect();
  }

  /** Asks for all blocks that begin before so long from now. */
  private order(): void {
    if (this.closed || !this.prepared || this.context.state !== 'running') return;
    const { sampleRate, currentTime } = this.context;
    const soonest = Math.ceil((currentTime + SOONEST / 1_000) * sampleRate);
    if (this.next < soonest) this.next = soonest;
    const until = (currentTime + this.aheadMs / 1_000) * sampleRate;
    for (; this.next + BLOCK <= until; this.next += BLOCK) this.render(this.next);
  }

  private render(frame: number): void {
    const { left, right } = this.spare.pop() ?? fresh();
    const message: ToRenderer = { type: 'render', frame, left, right };
    this.worker.postMessage(message, [left.buffer, right.buffer]);
    this.underway++;
  }

  private onMessage(message: FromRenderer): void {
    if (this.closed) return;
    if (message.type !== 'rendered') {
      if (message.type === 'ready' || message.type === 'fault') this.prepared = true;
      if (message.type === 'ready') this.begun();
      this.told(message);
      return;
    }
    this.underway--;
    if (this.unwanted > 0) this.unwanted--;
    else this.lineUp(message);
    this.spare.push(message);
    this.order();
  }

  private lineUp({ frame, left, right }: Block): void {
    const { context } = this;
    const at = frame / context.sampleRate;
    if (at < context.currentTime) {
      this.gap();
      return;
    }
    const buffer = context.createBuffer(2, BLOCK, context.sampleRate);
    buffer.copyToChannel(left, 0);
    buffer.copyToChannel(right, 1);
    const source = context.createBufferSource();
    source.buffer = buffer;
    source.connect(this.node);
    source.onended = () => {
      this.lined.delete(source);
      source.disconnect();
      this.order();
    };
    source.start(at);
    this.lined.add(source);
  }

  /** Takes back what was lined up, so that a silence does not wait for it. */
  private hush(): void {
    const { gain } = this.node;
    const now = this.context.currentTime;
    gain.cancelScheduledValues(now);
    gain.setValueAtTime(1, now);
    gain.linearRampToValueAtTime(0, now + HUSH);
    gain.setValueAtTime(1, now + 2 * HUSH);
    for (const source of this.lined) source.stop(now + HUSH);
    // The renderer lets what sounded die away in its next block: nobody is to hear that later.
    this.render(this.next);
    this.unwanted = this.underway;
    this.next = 0;
  }

  private gap(): void {
    this.missed++;
    this.aheadMs = Math.min(MOST_AHEAD, this.aheadMs * MORE);
  }
}

/**
 * A source of zeros for as long as the device is open: Chromium lets a node sleep whose last source has ended.
 * Without one, on a busy computer with Chromium 156, 9 of some 1,000 takes stayed silent though each block was
 * lined up in time, and any other source woke the node; with one, none of 432.
 */
function endlessZeros(node: AudioNode): ConstantSourceNode {
  const zeros = node.context.createConstantSource();
  zeros.offset.value = 0;
  zeros.connect(node);
  zeros.start();
  return zeros;
}

function fresh(): Omit<Block, 'frame'> {
  return { left: new Float32Array(BLOCK), right: new Float32Array(BLOCK) };
}
