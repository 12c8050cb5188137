import type { Loudness } from '../../engine/builtin/output.js';
import type { Tell } from '../contracts.js';

/** Less than this is nothing that anybody hears, in dB. */
const UNHEARD = 0.1;

/** How loud it was, in one line; nothing where there was nothing to hear. */
export function tellLoudness(loudness: Loudness | null, where: string, tell: Tell): void {
  if (!loudness || loudness.integrated === -Infinity) return;
  const { integrated, truePeak, mostLimiting } = loudness;
  const limited =
    mostLimiting < UNHEARD
      ? 'nothing had to be turned down'
      : `turned down by up to ${mostLimiting.toFixed(1)} dB`;
  tell({
    level: 'info',
    what: `Loudness ${integrated.toFixed(1)} LUFS, highest true peak ${truePeak.toFixed(1)} dBTP, ${limited}`,
    where,
  });
}
