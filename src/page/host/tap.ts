import type { Rules } from '../../instrument/types.js';
import { leastFor, raised } from '../../pads/thresholds.js';
import type { LevelEvent, Levels, TouchEvent } from '../../pads/touch.js';
import type { SeatPlan, Watch } from '../../pipeline.js';
import { isSound, type VoiceEvent } from '../../room/voice.js';
import type { Timed } from '../../time/events.js';
import type { Micros } from '../../time/micros.js';
import type { AnyStage } from '../../time/stage.js';
import type { PageMemory, SeatParts } from '../link/memory.js';
import { MemoryWriter } from '../link/memory-write.js';

/** Sees what the seats' stages put out, and tells the page's thread of it through shared memory. */
export interface Tap {
  watchOf(seat: number): Watch;
  voice(event: VoiceEvent): void;
  /**
   * Levels and voices are written only while somebody looks. What is touched and what sounds is always
   * kept, since that is little and whoever begins to look must find it as it is.
   */
  look(on: boolean): void;
}

export function pageTap(memory: PageMemory): Tap {
  const writer = new MemoryWriter(memory);
  const seats = memory.sizes.map((_, seat) => new SeatTap(writer, seat));
  let looking = false;
  return {
    watchOf: (seat) => seats[seat]!.watch,
    voice(event) {
      if (!isSound(event)) return;
      writer.sounds(event);
      if (looking) writer.voice(event);
    },
    look(on) {
      looking = on;
      for (const seat of seats) seat.looking = on;
    },
  };
}

/** One seat's part. It allocates nothing as the seat plays. */
class SeatTap {
  looking = false;
  readonly #writer: MemoryWriter;
  readonly #seat: number;
  readonly #parts: SeatParts;
  /** By pad, the last levels. */
  readonly #levels: Float32Array;
  /** The last levels of all pads at once, while nobody looked. */
  #unseen: Levels | null = null;
  #rules: Pick<Rules, 'touch' | 'strength'> | null = null;
  #decided = false;

  constructor(writer: MemoryWriter, seat: number) {
    this.#writer = writer;
    this.#seat = seat;
    this.#parts = writer.seat(seat);
    this.#levels = new Float32Array(this.#parts.pads);
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
        if (event.type === 'onset') this.#writer.onset(this.#seat, event.pad);
        else if (event.type === 'lift') this.#writer.lift(this.#seat, event.pad);
        else if (event.type === 'reset' && event.why === 'lost') this.#leave(event.t);
      }
    });
    return {
      ...around,
      // One that begins anew lifts nothing any more of what was touched before.
      begin: () => {
        this.#writer.lifted(this.#seat);
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
    if (this.looking) this.#writer.row(this.#seat, event.t, this.#levels);
  }

  /** The unit went away, whatever its pads were. */
  #leave(t: Micros): void {
    this.#writer.lifted(this.#seat);
    this.#unseen = null;
    this.#levels.fill(0);
    if (this.looking) this.#writer.row(this.#seat, t, this.#levels);
  }

  #take({ pads, levels, noise }: Levels): void {
    const { on, off, pads: count } = this.#parts;
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
