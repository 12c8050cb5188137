/** Samples on either side: four times as many as the program looks at. */
const HALF = 48;

/**
 * The true peak of a channel in dBTP, reckoned in another way than the program does: a sinc in a Hann
 * window, 96 samples long.
 *
 * @param closer how many times as close together as samples come
 */
export function dbtp(samples: Float32Array, closer = 4): number {
  const padded = new Float32Array(samples.length + 2 * HALF);
  padded.set(samples, HALF);
  const phases = Array.from({ length: closer }, (_, p) => weights(p / closer));
  let most = 0;
  for (let n = HALF - 1; n < padded.length - HALF; n++) {
    for (const phase of phases) {
      let sum = 0;
      for (let i = 0; i < 2 * HALF; i++) sum += phase[i]! * padded[n - HALF + 1 + i]!;
      most = Math.max(most, Math.abs(sum));
    }
  }
  return 20 * Math.log10(most);
}

function weights(part: number): Float64Array {
  return Float64Array.from({ length: 2 * HALF }, (_, i) => {
    const x = i - (HALF - 1) - part;
    const sinc = x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    return sinc * (0.5 + 0.5 * Math.cos((Math.PI * x) / HALF));
  });
}
