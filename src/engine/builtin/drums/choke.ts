const OPEN_HAT = 46;

/** By the key that comes: the keys that it ends. */
const ENDS: Readonly<Record<number, readonly number[]>> = {
  42: [OPEN_HAT],
  44: [OPEN_HAT],
  71: [72],
  73: [74],
  78: [79],
  80: [81],
};

/**
 * Whether a percussion key that comes ends one that sounds on the same seat: a closed or pedalled hi-hat
 * the open one, and the short or muted one of whistle, guiro, cuica and triangle the other. (Common
 * practice of General MIDI sound sets, from memory.)
 */
export function choked(coming: number, sounding: number): boolean {
  return ENDS[coming]?.includes(sounding) ?? false;
}
