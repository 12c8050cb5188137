import type { HistoryFrame } from '../../../../src/page/link/history-frame.js';

/** Rows of one seat as they come from the service: a time in µs, then a level for each pad. */
export function rows(
  list: readonly (readonly [t: number, ...levels: number[]])[],
  { on = 0.2, off = 0.12, lost = 0 } = {},
): HistoryFrame {
  const pads = list[0]!.length - 1;
  return {
    slice: 0,
    lost,
    on: new Float32Array(pads).fill(on),
    off: new Float32Array(pads).fill(off),
    times: Float64Array.from(list, ([t]) => t),
    levels: Float32Array.from(list.flatMap(([, ...levels]) => levels)),
  };
}
