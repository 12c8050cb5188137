/** The lowest and the highest value that is drawn, all between being equally likely. */
export type Range = readonly [low: number, high: number];

/**
 * How well a unit is built. Spans, noise and hum are in raw counts of a full scale of 16383.
 *
 * Where these come from: that units differ from build to build even of one plan, and so pads do, is
 * common practice; that a signal should be at least 5 times the peak-to-peak noise is the line of
 * Cypress 001-64846 §2.4.1 (READ). Peak to peak is about 5 σ in a hundred normal readings (memory),
 * so the usual grade lies at 7 to 60 times before its hum, and the worst one crosses the line.
 */
export interface Grade {
  /** The change from rest to a full touch. */
  readonly span: Range;
  /** Standard deviation of the white noise of a reading. */
  readonly sigma: Range;
  /** Amplitude of mains hum, half of its peak to peak. */
  readonly hum: Range;
  /** How far a rest wanders within two minutes, as a share of its own pad's span. */
  readonly drift: number;
  /** Which share of a pad's raw change also shows on each of its neighbours. */
  readonly coupling: Range;
  /** In which share of touches the contact bounces. */
  readonly bounce: number;
}

export type GradeName = 'clean' | 'usual' | 'worst';

/** Clean is common practice for a short, shielded build; the other two are the figures we set out to meet. */
export const GRADES: Readonly<Record<GradeName, Grade>> = {
  clean: {
    span: [500, 900],
    sigma: [1, 2],
    hum: [0, 0],
    drift: 0,
    coupling: [0, 0],
    bounce: 0,
  },
  usual: {
    span: [260, 900],
    sigma: [3, 7],
    hum: [2, 8],
    drift: 0.12,
    coupling: [0.04, 0.1],
    bounce: 0.4,
  },
  worst: {
    span: [110, 420],
    sigma: [5, 9],
    hum: [6, 14],
    drift: 0.35,
    coupling: [0.08, 0.18],
    bounce: 0.8,
  },
};

export const GRADE_NAMES: readonly GradeName[] = ['clean', 'usual', 'worst'];
