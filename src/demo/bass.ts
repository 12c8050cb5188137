import { accentOf, type TuneNote } from './tune.js';

/** "Rain on the tin roof": eight bars for a four-string bass, made for this project. */
const BARS: readonly (readonly (readonly [beat: number, note: number, beats: number])[])[] = [
  [
    [0, 28, 1.4],
    [1.5, 31, 0.4],
    [2, 35, 0.9],
    [3, 33, 0.8],
  ],
  [
    [0, 28, 0.9],
    [1, 35, 0.4],
    [1.5, 38, 1.2],
    [3, 36, 0.8],
  ],
  [
    [0, 33, 1.4],
    [1.5, 36, 0.4],
    [2, 40, 0.9],
    [3, 38, 0.8],
  ],
  [
    [0, 33, 0.9],
    [1, 40, 0.4],
    [1.5, 43, 1.2],
    [3, 42, 0.4],
    [3.5, 41, 0.4],
  ],
  [
    [0, 40, 0.8],
    [1, 38, 0.4],
    [1.5, 36, 0.4],
    [2, 33, 1.6],
  ],
  [
    [0, 45, 0.8],
    [1, 43, 0.4],
    [1.5, 40, 0.4],
    [2, 38, 0.9],
    [3, 36, 0.8],
  ],
  [
    [0, 35, 0.9],
    [1, 38, 0.4],
    [1.5, 40, 0.9],
    [2.5, 47, 0.4],
    [3, 45, 0.8],
  ],
  [
    [0, 43, 0.4],
    [0.5, 40, 0.4],
    [1, 35, 0.4],
    [1.5, 31, 0.4],
    [2, 28, 1.9],
  ],
];

export function bassTune(): TuneNote[] {
  return BARS.flatMap((bar, i) =>
    bar.map(([beat, note, beats]) => ({
      beat: i * 4 + beat,
      note,
      beats,
      strength: accentOf(beat),
    })),
  );
}
