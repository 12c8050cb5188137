import type { SessionOptions } from './session.js';

type Variation = Pick<SessionOptions, 'unit' | 'player' | 'sampling' | 'calibrating'>;

/** Other sensors and other people, one by one, and all that go together at once. */
export const OTHERS = {
  own: {},
  compressive: { unit: { compress: 4 } },
  '60 Hz': { unit: { mains: 60 } },
  '200 scans': { sampling: { rate: 200 } },
  'lost scans': { sampling: { lost: 100 } },
  thumb: { player: { thumb: true } },
  brushes: { player: { brush: 0.25 } },
  'late frets': { player: { late: 0.3 } },
  'early lifts': { player: { early: 0.3 } },
  slides: { player: { slide: 0.6 } },
  'share of touch': { unit: { shareOf: 'touch' } },
  'uneven calibration': { calibrating: { uneven: 0.1, again: 'round', order: 'any' } },
  falling: { unit: { falls: true } },
  aerial: { unit: { aerial: 2.5 } },
  mix: {
    unit: { compress: 4, mains: 60 },
    sampling: { rate: 200, lost: 100 },
    player: { thumb: true, brush: 0.08, late: 0.08, early: 0.05, slide: 0.3 },
  },
} as const satisfies Record<string, Variation>;

export type OtherName = keyof typeof OTHERS;
export const OTHER_NAMES = Object.keys(OTHERS) as OtherName[];
