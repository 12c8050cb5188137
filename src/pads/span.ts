/** How far towards a peak the span of an uncalibrated pad moves with each touch after its first. */
const PEAK_SHARE = 0.5;

/** An uncalibrated pad learns its span from its own touches, as each ends. */
export interface SpanLearning {
  /** The highest level of the touch that is on; 0 between touches. */
  peak: number;
  /** Whether the pad has shown its span by a touch. */
  shown: boolean;
  /** By how many touches. */
  touches: number;
}

export function newSpanLearning(): SpanLearning {
  return { peak: 0, shown: false, touches: 0 };
}

/** So many touches of its own tell a pad's span. */
export const KNOWN_BY = 3;
/** Touches of so many other pads of the unit together tell as much as one of its own. */
const OTHERS = 4;

/**
 * How far an uncalibrated pad's span is known, 0 to 1, given how many other pads have shown theirs: pads
 * of one unit are alike, but not by much.
 */
export function knownOf({ touches }: SpanLearning, others: number): number {
  return Math.min(1, (touches + Math.min(1, others / OTHERS)) / KNOWN_BY);
}

/** The pad's span after a reading at `level`, given the span before. */
export function followSpan(learning: SpanLearning, span: number, level: number): number {
  if (level > 0.5) {
    learning.peak = Math.max(learning.peak, level);
    return span;
  }
  if (learning.peak === 0 || level >= 0.25) return span;
  const share = learning.shown ? PEAK_SHARE : 1;
  const grown = learning.peak > 1 ? span * (1 + share * (learning.peak - 1)) : span;
  learning.peak = 0;
  learning.shown = true;
  learning.touches += 1;
  return grown;
}
