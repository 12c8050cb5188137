/** What a string loop is asked for. */
export interface LoopWish {
  /** Hz. */
  readonly frequency: number;
  readonly sampleRate: number;
  /** Seconds for the fundamental to fall by 60 dB. */
  readonly t60: number;
  /** How many times sooner a high partial dies; 1 or less leaves only the two-point mean's own loss. */
  readonly mellow: number;
}

/**
 * A string loop: y[n] is the sample `whole` back through a two-point mean, a one-pole low-pass
 * (1 − pole) / (1 − pole·z⁻¹), the gain, and an all-pass (c + z⁻¹) / (1 + c·z⁻¹).
 */
export interface Loop {
  readonly whole: number;
  /** The all-pass's phase delay at the fundamental in samples, 0.5 to 1.5. */
  readonly part: number;
  /** The all-pass's coefficient c. */
  readonly allpass: number;
  readonly pole: number;
  readonly gain: number;
}

/** The two-point mean's delay in samples, the same at all frequencies (Karplus & Strong 1983). */
const MEAN_DELAY = 0.5;
const SHORTEST = 1;
/** `mellow` is meant for a partial this far above four times the fundamental, in Hz. */
const HIGH_PARTIAL = 1_500;

/** A one-pole low-pass's phase delay in samples at `omega` radians a sample. */
export function poleDelay(pole: number, omega: number): number {
  return Math.atan2(pole * Math.sin(omega), 1 - pole * Math.cos(omega)) / omega;
}

/**
 * The delay line's length that tunes a loop, in samples and not whole: with no pole this is the N of
 * f = fs / (N + ½), Karplus & Strong, Computer Music Journal 7(2), 1983.
 */
export function lineLength(frequency: number, sampleRate: number, pole = 0): number {
  const omega = (2 * Math.PI * frequency) / sampleRate;
  return sampleRate / frequency - MEAN_DELAY - poleDelay(pole, omega);
}

/**
 * Designs a loop whose phase delay at the fundamental is exactly one period.
 *
 * The gain follows from t60 as 0.001^(1/(f·t60)) and makes good the filters' own loss at the fundamental
 * (Jaffe & Smith, Computer Music Journal 7(2), 1983, "decay alteration"); the all-pass's coefficient is
 * sin((1−D)ω/2) / sin((1+D)ω/2) for a phase delay of D samples at ω (ibid., "tuning"; J. O. Smith,
 * Physical Audio Signal Processing, "First-Order Allpass Interpolation").
 */
export function designLoop(wish: LoopWish): Loop {
  const { frequency, sampleRate, t60 } = wish;
  const omega = (2 * Math.PI * frequency) / sampleRate;
  const wanted = 0.001 ** (1 / (frequency * t60));
  const pole = dampingPole(wish);
  const loss = Math.cos(omega / 2) * poleGain(pole, omega);
  const length = Math.max(lineLength(frequency, sampleRate, pole), SHORTEST + MEAN_DELAY);
  const whole = Math.floor(length - MEAN_DELAY);
  const part = length - whole;
  return {
    whole,
    part,
    allpass: Math.sin(((1 - part) * omega) / 2) / Math.sin(((1 + part) * omega) / 2),
    pole,
    // Below 1 also at 0 Hz, where the filters lose nothing: a loop must never grow.
    gain: Math.min(wanted / loss, 0.99999),
  };
}

/** The pole that lets a high partial (at most a quarter of the sample rate) die `mellow` times sooner. */
function dampingPole({ frequency, sampleRate, t60, mellow }: LoopWish): number {
  const high = Math.min(HIGH_PARTIAL + 4 * frequency, sampleRate / 4);
  if (mellow <= 1 || high <= 2 * frequency) return 0;
  const omega = (2 * Math.PI * high) / sampleRate;
  const mean = Math.cos(omega / 2) / Math.cos((Math.PI * frequency) / sampleRate);
  const ratio = 0.001 ** ((mellow - 1) / (frequency * t60)) / mean;
  if (ratio >= 1) return 0;
  // (1−p)² = ratio²·(1 − 2p·cos ω + p²), solved for the p inside the unit circle.
  const a = 1 - ratio * ratio;
  const b = 1 - ratio * ratio * Math.cos(omega);
  return (b - Math.sqrt(b * b - a * a)) / a;
}

function poleGain(pole: number, omega: number): number {
  return (1 - pole) / Math.sqrt(1 - 2 * pole * Math.cos(omega) + pole * pole);
}
