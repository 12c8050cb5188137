import { describe, expect, it } from 'vitest';
import { shareRun } from './machine.js';

/** A service that was told to end, and the notes that aseqdump heard of it. */
interface Ended {
  readonly code: number;
  readonly output: string;
  readonly ons: readonly number[];
  readonly offs: readonly number[];
}
/** What inside/silence.mjs writes. */
interface Report {
  readonly frames: Ended;
  /** What had begun when the stop was told, and whether the board's port was there. */
  readonly silent: { readonly ons: readonly number[]; readonly there: boolean };
  /** Milliseconds from the last message until aseqdump had the end of the note. */
  readonly framesAfter: number;
  readonly sensingAfter: number;
  readonly notes: Ended;
  /** How many notes had ended while the board sent nothing but Active Sensing. */
  readonly held: number;
}

let report: Report;

shareRun('silence', 900, async (run) => {
  report = (await run.json('silence.json')) as Report;
});

/** Three times the largest gap, 2 s at most, and what this slow machine takes to say it. */
const SOON = 4_000;
/** The first note, an open string or a fret of E1: G#1; then D2 at its third fret. */
const HELD = 32;
const NEXT = 41;

describe('a board whose port stays but which stops sending', () => {
  it('has its note ended, is told, and plays again when frames come', () => {
    const { frames, silent, framesAfter } = report;
    expect(silent.there, frames.output).toBe(true);
    expect(silent.ons).toEqual([HELD]);
    expect(framesAfter).toBeLessThan(SOON);
    expect(frames.output).toContain('Its board sends again');
    expect(frames.output).not.toContain('has gone');
    expect(frames.ons).toEqual([HELD, NEXT]);
    expect(frames.offs).toEqual([HELD, NEXT]);
    expect(frames.code).toBe(0);
  });

  it('is found by its Active Sensing where it only tells what changes', () => {
    const { notes, held, sensingAfter } = report;
    // E1 open rings for longer than that by itself; Active Sensing alone keeps it.
    expect(held).toBe(0);
    expect(sensingAfter).toBeGreaterThan(300 - 100);
    expect(sensingAfter).toBeLessThan(SOON);
    expect(notes.ons).toEqual([28, 38]);
    expect(notes.output.match(/Nothing comes/g)).toHaveLength(1);
    expect(notes.output.match(/sends again/g)).toHaveLength(1);
  });
});
