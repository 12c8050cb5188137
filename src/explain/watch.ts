import type { Rules } from '../instrument/types.js';
import type { LevelsState } from '../pads/levels.js';
import { wiringOf, type PadsPlan } from '../pads/plan.js';
import { leastFor, raised } from '../pads/thresholds.js';
import type { TouchEvent } from '../pads/touch.js';
import type { TouchState } from '../pads/touch-table.js';
import type { TouchesState } from '../pads/touches.js';
import { swapped, type SeatPlan, type Watch } from '../pipeline.js';
import type { NoteEvent } from '../playing/note.js';
import type { OwnLogicState } from '../playing/own-logic.js';
import type { StringsState } from '../playing/strings.js';
import type { Timed, Wake } from '../time/events.js';
import type { Micros } from '../time/micros.js';
import type { AnyStage } from '../time/stage.js';
import type { Scan, WireEvent } from '../wire/scan.js';

/** One reading of one pad and what was made of it. */
export interface PadSample {
  readonly t: Micros;
  readonly pad: number;
  /** The reading, where the pad rests, and the change of a full touch, in raw counts. */
  readonly raw: number;
  readonly rest: number;
  readonly span: number;
  /** The level as read, and the pad's own, once what neighbours put on it is taken out. */
  readonly read: number;
  readonly level: number;
  /** The standard deviation of the noise in it. */
  readonly noise: number;
  /**
   * The thresholds that it met: those of the rules, raised as far as the noise asks for. Two readings
   * together may begin a touch a little under the upper one (`pairedOn`).
   */
  readonly on: number;
  readonly off: number;
  /** What the pad was in after it; `learning` while it was only watched. */
  readonly state: TouchState | 'learning';
}

/** What the touches stage put out; for a strike, and a flicker's lift, also what it was judged by. */
export interface TouchOut {
  readonly event: TouchEvent;
  /** Levels from the touch's first reading on, and the last one before it. */
  readonly rise?: readonly number[];
  readonly before?: number;
}

/** Why a pluck did not sound at once: it waits for a fret, or to be told from a brush. */
export type Waits = 'fret' | 'brush' | 'untold' | null;

/** What the playing logic was given, and what it put out. */
export interface PlayStep {
  readonly t: Micros;
  readonly event: TouchEvent | Wake;
  readonly out: readonly NoteEvent[];
  /** Of a strike on strings. */
  readonly waits: Waits;
}

/** What was seen of one seat's stages. */
export interface Seen {
  /** Within the window only. */
  readonly samples: PadSample[];
  /** All of them. */
  readonly touches: TouchOut[];
  /** Those that were given a touch or put something out. */
  readonly steps: PlayStep[];
}

/** A board that decides itself what is a touch has no threshold. */
const ANY_LEVEL = { on: 0, off: 0 };

const isReading = (event: { readonly type?: string }): boolean => event.type === 'scan';

/** Watches the stages of one seat as they run; what it holds grows meanwhile. */
export class SeatWatch implements Seen {
  readonly samples: PadSample[] = [];
  readonly touches: TouchOut[] = [];
  readonly steps: PlayStep[] = [];
  private plan: SeatPlan;
  private scan: Scan | null = null;
  private reads = new Map<number, Omit<PadSample, 'level' | 'on' | 'off' | 'state' | 'noise'>>();

  constructor(
    plan: SeatPlan,
    private readonly from: Micros,
    private readonly to: Micros,
  ) {
    this.plan = plan;
  }

  /** Must be told of each event before the way is. */
  before(event: WireEvent): void {
    this.scan = isReading(event) ? (event as Scan) : null;
    this.plan = swapped(this.plan, event)?.plan ?? this.plan;
  }

  readonly watch: Watch = (stage) => {
    const seen = (state: unknown, event: unknown, out: readonly unknown[]): void => {
      if (stage.name === 'levels') this.sawLevels(state as LevelsState, event as Timed);
      else if (stage.name === 'touches') {
        this.sawTouches(state as TouchesState, event as Timed, out as readonly TouchEvent[]);
      } else this.sawPlay(state as OwnLogicState, event as TouchEvent | Wake, out as NoteEvent[]);
    };
    return watched(stage, seen);
  };

  private sawLevels(state: LevelsState, { t }: Timed): void {
    const { scan } = this;
    this.reads.clear();
    if (!scan || scan.t !== t || t < this.from || t > this.to) return;
    const { pads } = this.plan;
    const wiring = wiringOf(pads);
    scan.inputs.forEach((input, i) => {
      const pad = wiring[input];
      const known = pad === undefined || pad === null ? null : state.pads[pad];
      if (!known) return;
      const raw = scan.raws[i]!;
      const read = known.learning ? 0 : known.change / known.span;
      const sample = { t, pad: pad!, raw, rest: known.rest.value, span: known.span, read };
      if (!known.learning) this.reads.set(pad!, sample);
      else {
        const { on, off } = this.plan.rules.touch;
        this.samples.push({ ...sample, level: 0, noise: 0, on, off, state: 'learning' });
      }
    });
  }

  private sawTouches(state: TouchesState, event: Timed, out: readonly TouchEvent[]): void {
    for (const one of out) {
      const pad = one.type === 'reset' ? undefined : state.pads[one.pad];
      const judged = pad && (one.type === 'strike' || one.type === 'lift');
      this.touches.push(
        judged ? { event: one, rise: [...pad.rise], before: pad.before } : { event: one },
      );
    }
    const levels = event as TouchLevels;
    if (levels.type !== 'levels' || event.t < this.from || event.t > this.to) return;
    levels.pads.forEach((pad, i) => {
      const read = this.reads.get(pad);
      const noise = levels.noise[i]!;
      if (!read) return;
      const level = levels.levels[i]!;
      const limits = thresholdsOf(this.plan.pads, this.plan.rules, noise);
      this.samples.push({ ...read, level, noise, ...limits, state: state.pads[pad]!.state });
    });
  }

  private sawPlay(state: OwnLogicState, event: TouchEvent | Wake, out: readonly NoteEvent[]): void {
    if (event.type === 'wake' && out.length === 0) return;
    const waits = event.type === 'strike' ? waitsOf(this.plan, state, event.pad) : null;
    this.steps.push({ t: event.t, event, out: [...out], waits });
  }
}

interface TouchLevels extends Timed {
  readonly type: string;
  readonly pads: readonly number[];
  readonly levels: readonly number[];
  readonly noise: readonly number[];
}

function watched<Event extends Timed, Out>(
  stage: AnyStage<Event, Out>,
  seen: (state: unknown, event: Event | Wake, out: readonly Out[]) => void,
): AnyStage<Event, Out> {
  return {
    ...stage,
    step(state, event) {
      const outcome = stage.step(state, event);
      seen(outcome.state, event, outcome.out);
      return outcome;
    },
  };
}

function thresholdsOf(pads: PadsPlan, rules: Rules, noise: number): { on: number; off: number } {
  const { on, off } = pads.decided ? ANY_LEVEL : raised(rules.touch, leastFor(rules) * noise);
  return { on, off };
}

function waitsOf(
  { instrument, rules }: SeatPlan,
  { inner, run }: OwnLogicState,
  pad: number,
): Waits {
  if (instrument.kind !== 'strings' || run || rules.logic?.code) return null;
  const string = instrument.strings.findIndex(({ pluck }) => pluck === pad);
  const { strings, doubts } = inner as StringsState;
  const doubt = doubts[string];
  if (doubt) return doubt.untold ? 'untold' : 'brush';
  return strings[string]?.waiting ? 'fret' : null;
}
