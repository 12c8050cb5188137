import type { Ceiling } from '../../../instrument/ceiling.js';

/** What holds where the room's own is not known: the same as CLASS_CEILING, without the reader of files. */
export const PAGE_CEILING: Ceiling = { peak: -1, loudness: -16 };
