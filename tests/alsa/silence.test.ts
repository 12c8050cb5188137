import { describe, expect, it } from 'vitest';
import { shareRun } from './machine.js';

/** The notes of one seat that aseqdump heard, as MIDI note numbers. */
interface Heard {
  readonly ons: readonly number[];
  readonly offs: readonly number[];
}
/** What inside/silence.mjs writes. */
interface Report {
  readonly code: number;
  readonly output: string;
  readonly north: Heard;
  readonly south: Heard;
  /** What had begun when the stop was told, and whether the board's port was still there. */
  readonly silent: { readonly ons: readonly number[]; readonly there: boolean };
  /** Milliseconds from the last message until aseqdump had the end of the note. */
  readonly framesAfter: number;
  readonly sensingAfter: number;
  /** How many notes had ended while the board sent nothing but Active Sensing. */
  readonly held: number;
}

let report: Report;

shareRun('silence', 900, async (run) => {
  report = (await run.json('silence.json')) as Report;
});

/** Two seconds at most, by what the program sees of a machine that may be held up itself. */
const SOON = 6_000;

describe('a board whose port stays but which stops sending', () => {
  it('has its note ended, is told, and plays again when frames come', () => {
    const { north, silent, framesAfter, output, code } = report;
    expect(silent, output).toEqual({ ons: [32], there: true });
    expect(framesAfter).toBeLessThan(SOON);
    expect(output).not.toContain('has gone');
    // G#1 at the fourth fret of E1, then F2 at the third one of D2.
    expect(north).toEqual({ ons: [32, 41], offs: [32, 41] });
    expect(code).toBe(0);
  });

  it('is found by its Active Sensing where it only tells what changes', () => {
    const { south, held, sensingAfter } = report;
    expect(held).toBe(0);
    // MIDI 1.0 Detailed Specification 4.2.1, p. 32: more than 300 ms; a message came up to 100 ms before.
    expect(sensingAfter).toBeGreaterThan(200);
    expect(sensingAfter).toBeLessThan(SOON);
    expect(south.ons).toHaveLength(2);
    expect(south.offs).toHaveLength(2);
  });
});
