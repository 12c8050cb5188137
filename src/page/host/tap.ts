import type { Rules } from '../../instrument/types.js';
import { leastFor, raised } from '../../pads/thresholds.js';
import type { LevelEvent, Levels, TouchEvent } from '../../pads/touch.js';
import type { SeatPlan, Watch } from '../../pipeline.js';
import { isSound, type SoundEvent, type VoiceEvent } from '../../room/voice.js';
import type { Reason, Timed } from '../../time/events.js';
import type { Micros } from '../../time/micros.js';
import type { AnyStage } from '../../time/stage.js';
import { voiceMemory, type SeatMemory } from '../link/memory.js';
import { SeatWriter, VoicesWriter } from '../link/memory-write.js';

/** After these, what the pads were last says nothing any more. */
const GONE: ReadonlySet<Reason> = new Set(['lost', 'quiet']);

/** Sees what the seats' stages put out, and tells the page's thread of it through shared memory. */
export interface Tap {
  /** The memory of the room's voices. */
  readonly voices: SharedArrayBuffer;
  /** A seat has taken a slot: what was seen of that slot before is another seat's. */
  join(slot: number, memory: SeatMemory): void;
  /** The slot is free: what still comes of it is seen by nobody. */
  leave(slot: number): void;
  /** The seat's instrument has other pads from now on. */
  fit(slot: number, memory: SeatMemory): void;
  /** For the seat that has the slot now. */
  watchOf(slot: number): Watch;
  voice(event: VoiceEvent): void;
  /**
   * Levels and voices are written only while somebody looks. What is touched and what sounds is always
   * kept, since that is little and whoever begins to look must find it as it is.
   */
  look(on: boolean): void;
}

export function pageTap(): Tap {
  const memory = voiceMemory();
  const voices = new VoicesWriter(memory);
  const seats = new Map<number, SeatTap>();
  let looking = false;

  function sounds(event: SoundEvent): void {
    if (event.type === 'on') seats.get(event.seat)?.writer.begins(event);
    else if (event.type === 'off') seats.get(event.seat)?.writer.ends(event);
    else if (event.type === 'silence') for (const { writer } of seats.values()) writer.silenced();
  }

  return {
    voices: memory,
    join(slot, own) {
      const seat = new SeatTap(own);
      seat.looking = looking;
      seats.set(slot, seat);
    },
    leave(slot) {
      seats.delete(slot);
    },
    fit(slot, own) {
      seats.get(slot)?.fit(own);
    },
    watchOf: (slot) => seats.get(slot)?.watch ?? ((stage) => stage),
    voice(event) {
      // Who joins and leaves, pages are told otherwise.
      if (!isSound(event)) return;
      sounds(event);
      if (looking) voices.voice(event);
    },
    look(on) {
      looking = on;
      for (const seat of seats.values()) seat.looking = on;
    },
  };
}

/** One seat's part. It allocates nothing as the seat plays. */
class SeatTap {
  looking = false;
  writer: SeatWriter;
  /** By pad, the last levels. */
  #levels: Float32Array;
  /** The last levels of all pads at once, while nobody looked. */
  #unseen: Levels | null = null;
  #rules: Pick<Rules, 'touch' | 'strength'> | null = null;
  #decided = false;

  constructor(memory: SeatMemory) {
    this.writer = new SeatWriter(memory);
    this.#levels = new Float32Array(memory.slice.pads);
  }

  fit(memory: SeatMemory): void {
    this.writer = new SeatWriter(memory);
    this.#levels = new Float32Array(memory.slice.pads);
    this.#unseen = null;
  }

  readonly watch: Watch = <Event extends Timed, Out>(
    stage: AnyStage<Event, Out>,
    plan: SeatPlan,
  ): AnyStage<Event, Out> => {
    this.#rules = plan.rules;
    this.#decided = plan.pads.decided;
    if (stage.name === 'levels') {
      return this.#around(stage, (out) => {
        for (const event of out as readonly LevelEvent[]) {
          if (event.type === 'levels') this.#levelsCame(event);
        }
      });
    }
    if (stage.name !== 'touches') return stage;
    const around = this.#around(stage, (out) => {
      for (const event of out as readonly TouchEvent[]) {
        if (event.type === 'onset') this.writer.onset(event.pad);
        else if (event.type === 'lift') this.writer.lift(event.pad);
        else if (event.type === 'reset' && GONE.has(event.why)) this.#leave(event.t);
      }
    });
    return {
      ...around,
      // One that begins again lifts nothing any more of what was touched before.
      begin: () => {
        this.writer.lifted();
        return stage.begin() as unknown;
      },
    };
  };

  #around<Event extends Timed, Out>(
    stage: AnyStage<Event, Out>,
    seen: (out: readonly Out[]) => void,
  ): AnyStage<Event, Out> {
    return {
      ...stage,
      step: (state, event) => {
        const outcome = stage.step(state, event);
        if (outcome.out.length > 0) seen(outcome.out);
        return outcome;
      },
    };
  }

  #levelsCame(event: Levels): void {
    if (!this.looking && event.pads.length >= this.#levels.length) {
      this.#unseen = event;
      return;
    }
    if (this.#unseen) this.#take(this.#unseen);
    this.#unseen = null;
    this.#take(event);
    if (this.looking) this.writer.row(event.t, this.#levels);
  }

  /** Nothing comes from the unit any more, whatever its pads were. */
  #leave(t: Micros): void {
    this.writer.lifted();
    this.#unseen = null;
    this.#levels.fill(0);
    if (this.looking) this.writer.row(t, this.#levels);
  }

  #take({ pads, levels, noise }: Levels): void {
    const { on, off, pads: count } = this.writer.parts;
    const rules = this.#rules!;
    const sure = leastFor(rules);
    for (let i = 0; i < pads.length; i++) {
      const pad = pads[i]!;
      if (pad >= count) continue;
      this.#levels[pad] = levels[i]!;
      if (this.#decided) continue;
      const least = sure * noise[i]!;
      const own = least <= rules.touch.on ? rules.touch : raised(rules.touch, least);
      on[pad] = own.on;
      off[pad] = own.off;
    }
  }
}
