/** What the simulator's tests measure with: plain textbook statistics, none of it from src. */
export const mean = (values: readonly number[]): number =>
  values.reduce((a, b) => a + b, 0) / values.length;

export function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
}

export function correlation(a: readonly number[], b: readonly number[]): number {
  const [ma, mb] = [mean(a), mean(b)];
  const shared = mean(a.map((value, i) => (value - ma) * (b[i]! - mb)));
  return shared / (deviation(a) * deviation(b));
}

/**
 * Amplitude of the line at `hz` in values at `times` (microseconds): one bin of a discrete Fourier
 * transform, 2/N · |Σ x·e^(−2πi·hz·t)|, with a Hann window (its mean of ½ undone) so that drift
 * beside it does not leak in.
 */
export function lineAt(hz: number, times: readonly number[], values: readonly number[]): number {
  const middle = mean(values);
  let [re, im] = [0, 0];
  values.forEach((value, k) => {
    const window = 1 - Math.cos((2 * Math.PI * (k + 0.5)) / values.length);
    const angle = (2 * Math.PI * hz * times[k]!) / 1_000_000;
    re += window * (value - middle) * Math.cos(angle);
    im += window * (value - middle) * Math.sin(angle);
  });
  return (2 * Math.hypot(re, im)) / values.length;
}
