import type { SeatLevelsFrame } from '../../link/levels-frame.js';

/** How fast a level falls on the drawing, in units of its byte each second: it is seen, though it was short. */
const FALL = 700;

/**
 * What a drawing shows of the levels, and whether that changed: what did not change is not painted again.
 */
export class Shown {
  readonly pads: Uint8Array;
  readonly touched: Uint8Array;
  readonly notes: Uint8Array;
  readonly strengths: Uint8Array;
  private readonly falling: Float32Array;
  private before = 0;

  constructor(
    pads: number,
    strings: number,
    private readonly steady: boolean,
  ) {
    this.pads = new Uint8Array(pads);
    this.touched = new Uint8Array(pads);
    this.notes = new Uint8Array(strings).fill(255);
    this.strengths = new Uint8Array(strings);
    this.falling = new Float32Array(pads);
  }

  /** Takes the levels in at a time in ms; whether anything is to be painted again. */
  take({ pads, touched, notes, strengths }: Readonly<SeatLevelsFrame>, now: number): boolean {
    const fall = this.steady ? 255 : (FALL * Math.min(100, Math.max(0, now - this.before))) / 1000;
    this.before = now;
    let changed = false;
    for (let pad = 0; pad < this.pads.length; pad++) {
      const level = Math.max(pads[pad] ?? 0, (this.falling[pad] ?? 0) - fall);
      this.falling[pad] = level;
      // Less than this is not seen, and is not worth a painting.
      const step = level & 0xfc;
      if (step !== this.pads[pad] || touched[pad] !== this.touched[pad]) changed = true;
      this.pads[pad] = step;
      this.touched[pad] = touched[pad] ?? 0;
    }
    for (let string = 0; string < this.notes.length; string++) {
      const [note, strength] = [notes[string] ?? 255, strengths[string] ?? 0];
      if (note !== this.notes[string] || strength !== this.strengths[string]) changed = true;
      this.notes[string] = note;
      this.strengths[string] = strength;
    }
    return changed;
  }
}
