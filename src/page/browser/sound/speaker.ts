import { signal } from '@preact/signals';
import type { Loudness } from '../../../engine/builtin/output.js';
import type { Ceiling } from '../../../instrument/ceiling.js';
import type { Connection } from '../connection.js';
import type { PlayOptions, Speaker, SpeakerOptions, SpeakerState } from './contract.js';
import { contextSink, type ContextSink } from './context-sink.js';
import { openWorklet, type Device } from './device.js';
import { Listing } from './listing.js';
import { Live } from './live.js';
import { PROCESSOR, type FromRenderer } from './messages.js';
import type { VoiceEvent } from '../../../room/voice.js';
import { WorkerDevice } from './worker-device.js';

/** How often the clocks are compared and positions told, and every how many times loudness is asked for. */
const TICK_MS = 40;
const ASK_EVERY = 5;
/** A change of the device's own level takes so long, in seconds: a time constant, without a click. */
const LEVEL_RAMP = 0.01;

const open = new Set<ContextSpeaker>();

/** Ends what sounds on this device: what is played live goes on with the next note, a take stops. */
export function silenceHere(): void {
  for (const speaker of open) speaker.hush();
}

/**
 * Opens this device's loudspeaker. To be called from a click or a key: browsers let no page sound before.
 *
 * @throws Error where this browser cannot sound anything
 */
export async function openSpeaker(options: SpeakerOptions): Promise<Speaker> {
  const context = new AudioContext({ latencyHint: 'interactive' });
  const speaker = new ContextSpeaker(context, options);
  try {
    await speaker.open();
    open.add(speaker);
    return speaker;
  } catch (error) {
    await speaker.close();
    throw error;
  }
}

class ContextSpeaker implements Speaker {
  readonly state = signal<SpeakerState>('held');
  readonly loudness = signal<Loudness | null>(null);
  readonly refused = signal<string | null>(null);
  readonly gaps = signal(0);
  readonly delay = signal(0);
  readonly level = signal(1);
  private readonly gain: GainNode;
  private device: Device | null = null;
  private sink!: ContextSink;
  private way: Live | Listing | null = null;
  private timer = 0;
  private ticks = 0;
  private faults = 0;
  private failed = false;
  private closed = false;

  constructor(
    private readonly context: AudioContext,
    private readonly options: SpeakerOptions,
  ) {
    this.gain = context.createGain();
    this.gain.connect(context.destination);
  }

  async open(): Promise<void> {
    const { context } = this;
    const told = (message: FromRenderer): void => {
      this.onTold(message);
    };
    // Plain http from another machine: the browser has no AudioWorklet for such a page.
    const worklet = 'audioWorklet' in context;
    this.device = worklet
      ? await openWorklet(context, told, PROCESSOR)
      : new WorkerDevice(context, told);
    this.device.node.connect(this.gain);
    this.sink = contextSink(context, this.device, this.options);
    context.addEventListener('statechange', this.look);
    context.addEventListener('error', this.onError);
    document.addEventListener('visibilitychange', this.look);
    this.timer = window.setInterval(this.tick, TICK_MS);
    this.look();
    // It may wait for a touch for ever, so nothing waits for it.
    void this.resume();
    await this.device.ready;
  }

  async resume(): Promise<void> {
    if (!this.closed) await this.context.resume();
  }

  setLevel(level: number): void {
    const { gain, context } = this;
    this.level.value = Math.min(1, Math.max(0, level));
    gain.gain.setTargetAtTime(this.level.value, context.currentTime, LEVEL_RAMP);
  }

  setup(seed: number, ceiling: Ceiling): void {
    if (!this.closed) this.sink.setup(seed, ceiling);
  }

  live(connection: Connection): () => void {
    this.stop();
    if (this.closed || this.failed) return () => undefined;
    const live = new Live(this.sink, connection, (why) => {
      this.refused.value = why;
    });
    this.way = live;
    live.hear(this.state.peek() === 'on');
    return () => {
      if (this.way === live) this.stop();
    };
  }

  play(events: readonly VoiceEvent[], options: PlayOptions = {}): void {
    this.stop();
    if (this.closed || this.failed) options.onEnd?.();
    else this.way = new Listing(this.sink, events, options);
  }

  stop(): void {
    const { way } = this;
    this.way = null;
    this.refused.value = null;
    if (way) way.end();
    else if (!this.closed) this.sink.silence();
  }

  silence(): void {
    if (this.way) this.way.silence();
    else if (!this.closed) this.sink.silence();
  }

  hush(): void {
    if (this.way instanceof Live) this.silence();
    else this.stop();
  }

  async close(): Promise<void> {
    if (this.closed) return;
    if (this.device) this.stop();
    this.closed = true;
    open.delete(this);
    window.clearInterval(this.timer);
    this.context.removeEventListener('statechange', this.look);
    this.context.removeEventListener('error', this.onError);
    document.removeEventListener('visibilitychange', this.look);
    this.device?.close();
    this.look();
    await this.context.close();
  }

  private readonly onError = (): void => {
    this.failed = true;
    this.look();
  };

  /** What it may do now; whatever stops it ends what sounds. */
  private readonly look = (): void => {
    const now = this.judged();
    if (now === this.state.peek()) return;
    this.state.value = now;
    const { way } = this;
    if (way instanceof Live) way.hear(now === 'on');
    else if (now !== 'on') this.stop();
  };

  private judged(): SpeakerState {
    if (this.closed) return 'closed';
    if (this.failed) return 'failed';
    if (document.visibilityState === 'hidden') return 'hidden';
    return this.context.state === 'running' ? 'on' : 'held';
  }

  private readonly tick = (): void => {
    const { way, device, context } = this;
    if (this.ticks++ % ASK_EVERY === 0) device?.post({ type: 'alive' });
    if (this.state.peek() !== 'on') return;
    if (way instanceof Live) way.tick();
    else if (way && !way.tick()) this.way = null;
    const before = way instanceof Live ? way.delayMs : this.sink.ahead();
    this.delay.value = Math.round(before + 1_000 * context.baseLatency + this.sink.outputDelay());
    this.gaps.value = this.faults + (device?.gaps() ?? 0);
  };

  private onTold(message: FromRenderer): void {
    if (message.type === 'told') {
      this.loudness.value = message.loudness;
      if (message.late > 0 && this.way instanceof Live) this.way.missed(message.late);
    } else if (message.type === 'ready') {
      if (this.way instanceof Live) this.way.begunAnew();
    } else if (message.type === 'fault' || message.type === 'overflow') {
      this.faults++;
      if (message.type === 'fault' && message.final) this.failed = true;
      this.look();
    }
  }
}
