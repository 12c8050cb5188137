import type { PadBuild } from '../instrument/types.js';

/** Shares under this one are lost in the noise of any build and are left out. */
const NEGLIGIBLE = 0.002;

/** For each pad, which pads' raw changes to add with which factor to get its own change alone. */
export type Unmixing = readonly {
  readonly from: readonly number[];
  readonly factor: readonly number[];
}[];

/**
 * The inverse of the mixing that the couplings describe.
 *
 * With raw changes r, own changes o and shares C (C[i][j]: what of j's change shows on i),
 * r = (I + C)·o, so o = (I + C)⁻¹·r, found by Gauss-Jordan elimination with partial pivoting.
 *
 * @returns null where no pad lists a coupling, or where the shares are too large to be undone
 */
export function unmixing(pads: readonly (PadBuild | null)[]): Unmixing | null {
  if (!pads.some((pad) => pad !== null && pad.coupling.length > 0)) return null;
  const n = pads.length;
  const rows = pads.map((pad, i) => {
    const row = new Float64Array(2 * n);
    row[i] = 1;
    row[n + i] = 1;
    for (const { from, share } of pad?.coupling ?? []) {
      if (from !== i && from < n) row[from] = row[from]! + share;
    }
    return row;
  });
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let i = column + 1; i < n; i++) {
      if (Math.abs(rows[i]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = i;
    }
    const lead = rows[pivot]!;
    if (Math.abs(lead[column]!) < 1e-6) return null;
    rows[pivot] = rows[column]!;
    rows[column] = lead;
    const scale = 1 / lead[column]!;
    for (let k = 0; k < 2 * n; k++) lead[k] = lead[k]! * scale;
    for (let i = 0; i < n; i++) {
      const row = rows[i]!;
      const factor = row[column]!;
      if (i === column || factor === 0) continue;
      for (let k = 0; k < 2 * n; k++) row[k] = row[k]! - factor * lead[k]!;
    }
  }
  return rows.map((row) => {
    const from: number[] = [];
    const factor: number[] = [];
    for (let j = 0; j < n; j++) {
      const value = row[n + j]!;
      if (Math.abs(value) < NEGLIGIBLE) continue;
      from.push(j);
      factor.push(value);
    }
    return { from, factor };
  });
}
