import { nearest } from '../../instrument/near.js';
import { textOf, UsageFault, type Call } from '../cli.js';

/** The pads that --skip lists by name or number; they get no input and are not asked for. */
export function skippedPads(call: Call, names: readonly string[]): ReadonlySet<number> {
  const listed = (textOf(call, 'skip') ?? '').split(',').map((one) => one.trim());
  const lower = names.map((name) => name.toLowerCase());
  const pads = listed.flatMap((one) => {
    if (one === '') return [];
    const pad = /^\d+$/.test(one) ? Number(one) : lower.indexOf(one.toLowerCase());
    if (pad >= 0 && pad < names.length) return [pad];
    const near = nearest(one, names);
    const hint =
      near === undefined ? `pads are called as in "${names[0]!}"` : `did you mean "${near}"?`;
    throw new UsageFault(`--skip: there is no pad "${one}"; ${hint}`);
  });
  if (pads.length > 0 && new Set(pads).size === names.length) {
    throw new UsageFault('--skip names every pad, so there is nothing to learn');
  }
  return new Set(pads);
}
