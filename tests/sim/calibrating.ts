import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { bounced, landingOf, leavingOf, PEAK_VARIES, wobbleOf, type Contact } from './contact.js';
import { randomOf } from './random.js';
import type { SimUnit } from './unit.js';

/** How somebody touches each pad so that a unit can be learned. */
export interface CalibratingOptions {
  /** How often each pad is touched. */
  readonly touches: number;
  /** A second touch at once, or in a second round over all pads. */
  readonly again: 'at once' | 'round';
  /** Pads in the printed order (as for learning the wiring), or in any. */
  readonly order: 'printed' | 'any';
  /** A pad on which a finger lies by mistake while nobody should touch, and for a second more. */
  readonly fingerOn: number | null;
  /** How much firm touches differ: standard deviation, in shares of a full touch. */
  readonly uneven: number;
}

export const EACH_TWICE: CalibratingOptions = {
  touches: 2,
  again: 'at once',
  order: 'printed',
  fingerOn: null,
  uneven: 0.04,
};

/** Nobody touches for two seconds. */
const LET_GO: Micros = 2 * SECOND;

/**
 * A person asked to touch firmly gives most of a full touch, not always the same. Area grows as the
 * force to the power of 2/3 or less (Hertz, memory), so forces that differ by 6 to 12 % give areas
 * that differ by about 4 %. No calibration can know a span better than such touches show it.
 */
const FIRM = 0.94;

/** The touches of a calibration, and how long it takes. */
export function calibratingTouches(
  unit: SimUnit,
  options: Partial<CalibratingOptions> = {},
): { readonly contacts: readonly Contact[]; readonly length: Micros } {
  const how = { ...EACH_TWICE, ...options };
  const random = randomOf(unit.seed, 'calibrating');
  const numbers = Array.from({ length: unit.pads }, (_, pad) => pad);
  const order = how.order === 'any' ? random.shuffled(numbers) : numbers;
  const times = Array.from({ length: how.touches }, (_, time) => time);
  const sequence =
    how.again === 'at once'
      ? order.flatMap((pad) => times.map(() => pad))
      : times.flatMap(() => order);

  const contacts: Contact[] = [];
  let now = LET_GO + 300 * MILLISECOND;
  for (const pad of sequence) {
    const strength = random.normal(FIRM, how.uneven, 0.7, 1.08);
    const until = Math.round(now + random.between(180, 500) * MILLISECOND);
    const touch: Contact = {
      kind: 'calibration',
      pad,
      at: Math.round(now),
      until,
      peak: strength * (1 + random.normal(0, PEAK_VARIES, -0.045, 0.045)),
      landing: landingOf(strength, random),
      leaving: leavingOf(random),
      wobble: wobbleOf(random),
      losses: [],
    };
    contacts.push(bounced(touch, unit.grade.bounce, random));
    now = until + random.between(250, 700) * MILLISECOND;
  }
  if (how.fingerOn !== null) {
    const mistake = { kind: 'calibration' as const, pad: how.fingerOn, at: -SECOND, losses: [] };
    contacts.push({
      ...mistake,
      until: LET_GO + SECOND,
      peak: random.between(0.7, 1),
      landing: 10 * MILLISECOND,
      leaving: leavingOf(random),
      wobble: wobbleOf(random),
    });
    contacts.sort((a, b) => a.at - b.at);
  }
  return { contacts, length: Math.round(now + SECOND) };
}
