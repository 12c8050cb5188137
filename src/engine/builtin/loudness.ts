/** The span from the softest to the hardest velocity, in dB. */
export const VELOCITY_RANGE_DB = 60;

const RATIO = 10 ** (VELOCITY_RANGE_DB / 20);
const FLOOR = 127 / (126 * Math.sqrt(RATIO)) - 1 / 126;
const SLOPE = (1 - FLOOR) / 127;

/**
 * The amplitude of a note struck at a MIDI velocity: 1 at velocity 127, −60 dB at velocity 1.
 *
 * The square law of velocity: R. B. Dannenberg, "The Interpretation of MIDI Velocity", ICMC 2006.
 *
 * @param velocity 1 to 127; values outside are taken as the nearest inside
 * @returns a factor from 0.001 to 1
 * @example amplitudeOfVelocity(64) // 0.266, which is −11.5 dB
 */
export function amplitudeOfVelocity(velocity: number): number {
  return (SLOPE * within(velocity, 1, 127) + FLOOR) ** 2;
}

/** The nearest value to `value` from `low` to `high`; `low` for what is no number. */
export function within(value: number, low: number, high: number): number {
  return value > low ? Math.min(value, high) : low;
}
