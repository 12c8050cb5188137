import { Subject } from 'rxjs';
import { levels } from '../pads/levels.js';
import type { LevelEvent } from '../pads/touch.js';
import type { SeatPlan } from '../pipeline.js';
import { virtualClock } from '../time/clock.js';
import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import { through } from '../time/through.js';
import type { WireEvent } from '../wire/scan.js';
import type { Window } from './run.js';
import type { Batches } from '../takes/read.js';

/** One pad's level over time, joined by straight lines; NaN breaks the line. Times never fall. */
export interface Curve {
  readonly times: readonly Micros[];
  readonly levels: readonly number[];
}

/**
 * Levels closer than this to the last one kept are left out, so that lines are off by less than twice
 * as much: less than a pixel of a row on the page.
 */
export const FINEST = 0.02;

/** After so long without a reading the pad has stayed where it was: a slow board has 50 scans a second. */
const HELD: Micros = 40 * MILLISECOND;

/** Follows one pad, keeping only the points where its line bends. */
class CurveDrawing implements Curve {
  readonly times: Micros[] = [];
  readonly levels: number[] = [];
  private latest: { t: Micros; level: number } | null = null;

  add(t: Micros, level: number): void {
    const { latest } = this;
    if (latest && t - latest.t > HELD) {
      this.latest = { t: t - 1, level: latest.level };
      this.keepLatest();
    }
    if (Math.abs(level - (this.levels.at(-1) ?? NaN)) < FINEST) {
      this.latest = { t, level };
      return;
    }
    this.keepLatest();
    this.latest = { t, level };
    this.keepLatest();
  }

  keepLatest(): void {
    const { latest, times, levels: kept } = this;
    if (!latest) return;
    // What a pad was left at may be told together with what it is at now, which counts.
    if (latest.t === times.at(-1)) kept.pop();
    else times.push(latest.t);
    kept.push(latest.level);
  }

  break(t: Micros): void {
    this.keepLatest();
    this.latest = null;
    if (this.times.length === 0) return;
    this.times.push(t);
    this.levels.push(NaN);
  }
}

/** The levels after calibration of every pad, by pad number, as the playing logic is given them. */
export function levelCurves(events: Iterable<WireEvent>, seat: SeatPlan): Curve[] {
  const drawing = new LevelDrawing(seat, 0, NEVER);
  for (const event of events) drawing.next(event);
  return drawing.end();
}

/** The same of a part of a take that is read meanwhile, no further than that part. */
export async function levelCurvesIn(
  events: Batches<WireEvent>,
  seat: SeatPlan,
  { from, to }: Window,
): Promise<Curve[]> {
  const drawing = new LevelDrawing(seat, from, to);
  for await (const batch of events) {
    for (const event of batch) drawing.next(event);
    if ((batch.at(-1)?.t ?? 0) > to + HELD) break;
  }
  return drawing.end();
}

/** Draws all pads from the events of a take. */
class LevelDrawing {
  private readonly curves: readonly CurveDrawing[];
  /** What each pad was at before the part that is drawn; NaN: nothing was read. */
  private readonly before: number[];
  private readonly input = new Subject<WireEvent>();
  private begun = false;

  constructor(
    seat: SeatPlan,
    private readonly from: Micros,
    private readonly to: Micros,
  ) {
    this.curves = Array.from({ length: seat.pads.pads }, () => new CurveDrawing());
    this.before = this.curves.map(() => NaN);
    this.input
      .pipe(through(levels(seat.pads, seat.rules), virtualClock()))
      .subscribe((event) => this.draw(event));
  }

  next(event: WireEvent): void {
    this.input.next(event);
  }

  end(): Curve[] {
    this.input.complete();
    for (const curve of this.curves) curve.keepLatest();
    return [...this.curves];
  }

  private draw(event: LevelEvent): void {
    const { curves, before } = this;
    if (event.t < this.from) {
      if (event.type === 'levels') {
        event.pads.forEach((pad, i) => (before[pad] = event.levels[i]!));
      } else if (event.why === 'lost') before.fill(NaN);
      return;
    }
    if (!this.begun) {
      this.begun = true;
      before.forEach((level, pad) => {
        if (!Number.isNaN(level)) curves[pad]!.add(this.from, level);
      });
    }
    if (event.t > this.to + HELD) return;
    if (event.type === 'levels') {
      event.pads.forEach((pad, i) => curves[pad]!.add(event.t, event.levels[i]!));
    } else if (event.why === 'lost') {
      for (const curve of curves) curve.break(event.t);
    }
  }
}
