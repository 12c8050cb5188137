import { encodeHistory } from '../../../src/page/link/history-frame.js';
import { encodeLevels, levelsOf } from '../../../src/page/link/levels-frame.js';
import type { PageSeat } from '../../../src/page/link/state.js';
import { layoutOf } from '../support/made-up-seat.js';

/** A board that scans 250 times a second. In µs. */
const SCAN = 4_000;

/** Made-up players: what the frames of a moment hold, all of it from the time alone. */
export class MadeUpLevels {
  private t = 1_000_000;
  private readonly frame;

  constructor(private readonly seats: readonly PageSeat[]) {
    this.frame = levelsOf(layoutOf(seats));
  }

  /** The frames of the next `ms` milliseconds; with the history of the watched seat. */
  next(ms: number, watched: number | null): Uint8Array<ArrayBuffer>[] {
    const until = this.t + ms * 1000;
    const times: number[] = [];
    for (let t = Math.ceil((this.t + 1) / SCAN) * SCAN; t <= until; t += SCAN) times.push(t);
    this.t = until;
    for (const [s, seat] of [...this.frame.slices.values()].entries()) {
      if (this.seats[s]?.plugged !== 'here') continue;
      for (const pad of seat.pads.keys()) {
        const level = levelAt(s, pad, until);
        seat.pads[pad] = Math.round(Math.min(255, Math.max(0, level * 200)));
        seat.touched[pad] = level > 0.2 ? 1 : 0;
      }
    }
    const frames = [encodeLevels({ ...this.frame, t: until, frame: this.frame.frame })];
    const pads = watched === null ? 0 : (this.seats[watched]?.padNames.length ?? 0);
    if (watched === null || this.seats[watched]?.plugged !== 'here') return frames;
    const levels = new Float32Array(times.length * pads);
    times.forEach((t, row) => {
      for (let pad = 0; pad < pads; pad++) levels[row * pads + pad] = levelAt(watched, pad, t);
    });
    const on = new Float32Array(pads).fill(0.2);
    const off = new Float32Array(pads).fill(0.12);
    const { slice } = this.seats[watched];
    const rows = { slice, lost: 0, on, off, times: Float64Array.from(times), levels };
    return [...frames, encodeHistory(rows)];
  }
}

/** Each pad is touched for a third of a second every few, each as hard as it is; between them it flickers. */
function levelAt(seat: number, pad: number, t: number): number {
  const period = 1.7e6 + pad * 130_000 + seat * 70_000;
  const into = (t + pad * 410_000) % period;
  const hum = 0.015 * Math.sin(t / 3183) + 0.01 * Math.sin(t * 0.013 + pad);
  const hard = 0.55 + ((pad * 7) % 10) / 18;
  if (into > 380_000) return hum;
  return hum + hard * Math.min(1, into / 12_000, (380_000 - into) / 30_000);
}
