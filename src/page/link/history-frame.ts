import { FRAME } from './frames.js';

/** What a history frame says (see `frames.ts`). */
export interface HistoryFrame {
  /** The number of the slice that it is of. */
  readonly slice: number;
  /** How many rows were lost before these. */
  readonly lost: number;
  /** By pad, the level at which a touch begins. */
  readonly on: Float32Array;
  /** By pad, the level at which it may end. */
  readonly off: Float32Array;
  /** A row each, in µs by the service's clock. */
  readonly times: Float64Array;
  /** Row by row, pad by pad. */
  readonly levels: Float32Array;
}

const HEAD = 12;

/** Writes a frame. `levels` holds a level for each pad of each of `times`, which are 65 535 at most. */
export function encodeHistory(rows: HistoryFrame): Uint8Array<ArrayBuffer> {
  const { slice, lost, on, off, times, levels } = rows;
  const pads = on.length;
  const bytes = new Uint8Array(HEAD + 8 * pads + times.length * (8 + 4 * pads));
  const view = new DataView(bytes.buffer);
  bytes[0] = FRAME.history;
  view.setUint16(2, times.length, true);
  view.setUint32(4, Math.min(lost, 0xffff_ffff), true);
  view.setUint32(8, slice, true);
  let at = HEAD;
  const put = (level: number): void => {
    view.setFloat32(at, level, true);
    at += 4;
  };
  on.forEach(put);
  off.forEach(put);
  for (let row = 0; row < times.length; row++) {
    view.setFloat64(at, times[row]!, true);
    at += 8;
    for (let pad = 0; pad < pads; pad++) put(levels[row * pads + pad]!);
  }
  return bytes;
}

/**
 * Reads a frame.
 *
 * @param padsOf how many pads a slice has; undefined where there is no such slice
 * @returns null where it is no history frame of such a slice
 */
export function decodeHistory(
  bytes: Uint8Array,
  padsOf: (slice: number) => number | undefined,
): HistoryFrame | null {
  if (bytes.length < HEAD || bytes[0] !== FRAME.history) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const slice = view.getUint32(8, true);
  const pads = padsOf(slice);
  const rows = view.getUint16(2, true);
  if (pads === undefined || bytes.length !== HEAD + 8 * pads + rows * (8 + 4 * pads)) return null;
  let at = HEAD;
  const take = (): number => {
    at += 4;
    return view.getFloat32(at - 4, true);
  };
  const on = Float32Array.from({ length: pads }, take);
  const off = Float32Array.from({ length: pads }, take);
  const times = new Float64Array(rows);
  const levels = new Float32Array(rows * pads);
  for (let row = 0; row < rows; row++) {
    times[row] = view.getFloat64(at, true);
    at += 8;
    for (let pad = 0; pad < pads; pad++) levels[row * pads + pad] = take();
  }
  return { slice, lost: view.getUint32(4, true), on, off, times, levels };
}
