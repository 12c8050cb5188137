import type { Ceiling } from '../../../instrument/ceiling.js';
import type { PageEngine } from '../../link/state.js';

/** What holds where the room's own is not known: the same as CLASS_CEILING, without the reader of files. */
export const PAGE_CEILING: Ceiling = { peak: -1, loudness: -16 };

/** What this device keeps to: the ceiling of the room's first engine that has one. */
export function ceilingHere(engines: readonly PageEngine[] | null): Ceiling {
  return engines?.find(({ ceiling }) => ceiling)?.ceiling ?? PAGE_CEILING;
}
