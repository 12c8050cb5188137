import { computed, effect, signal, type ReadonlySignal } from '@preact/signals';
import type { Ceiling } from '../../../instrument/ceiling.js';
import type { Connection } from '../connection.js';
import { ceilingHere } from './ceiling.js';
import type { Speaker } from './contract.js';
import { keepAwake } from './keep-awake.js';
import { keepLevelHere, levelHere } from './level-here.js';
import { soundsBySlot } from './live.js';
import { openSpeaker } from './speaker.js';

/** This device as the room's loudspeaker: turned on and off by a person. */
export class SoundHere {
  /** The speaker that is on; null: none is. */
  readonly speaker: ReadonlySignal<Speaker | null>;
  readonly opening: ReadonlySignal<boolean>;
  /** Why it could not be turned on, in the browser's words; null: it could. */
  readonly fault: ReadonlySignal<string | null>;
  readonly level: ReadonlySignal<number>;
  readonly ceiling: ReadonlySignal<Ceiling>;
  /** The names of the room's engines that sound as well. */
  readonly others: ReadonlySignal<readonly string[]>;

  private readonly open = signal<Speaker | null>(null);
  private readonly busy = signal(false);
  private readonly why = signal<string | null>(null);
  private readonly own = signal(levelHere());
  private leave: (() => void)[] = [];

  constructor(private readonly connection: Connection) {
    this.speaker = this.open;
    this.opening = this.busy;
    this.fault = this.why;
    this.level = this.own;
    this.ceiling = computed(() => ceilingHere(connection.state.engines.value));
    this.others = computed(() => {
      const engines = connection.state.engines.value ?? [];
      return engines.filter(({ on }) => on).map(({ name }) => name);
    });
  }

  /** To be called from a click or a key. */
  async turnOn(): Promise<void> {
    if (this.busy.peek() || this.open.peek()) return;
    this.busy.value = true;
    this.why.value = null;
    const { connection } = this;
    try {
      const seats = soundsBySlot(connection.state.seats.peek() ?? []);
      const seed = connection.seed.peek();
      const speaker = await openSpeaker({ seats, seed, ceiling: this.ceiling.peek() });
      speaker.setLevel(this.own.peek());
      this.leave = [speaker.live(connection), keepAwake(), this.followState(speaker)];
      this.open.value = speaker;
    } catch (error) {
      this.why.value = error instanceof Error ? error.message : String(error);
    } finally {
      this.busy.value = false;
    }
  }

  async turnOff(): Promise<void> {
    const speaker = this.open.peek();
    this.open.value = null;
    for (const leave of this.leave) leave();
    this.leave = [];
    await speaker?.close();
  }

  /** @param level 0 to 1, on the amplitude */
  setLevel(level: number): void {
    this.own.value = level;
    keepLevelHere(level);
    this.open.peek()?.setLevel(level);
  }

  /** Another ceiling or seed in the room holds here as well. */
  private followState(speaker: Speaker): () => void {
    return effect(() => {
      speaker.setup(this.connection.seed.value, this.ceiling.value);
    });
  }
}
