import type { StringsInstrument } from '../../src/instrument/types.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { wobbleOf, type Contact } from './contact.js';
import type { Pluck } from './player.js';
import type { Random } from './random.js';

/** A thumb lies on a pad that is not played for at least this long. */
const WORTH_IT: Micros = 1_200 * MILLISECOND;
/** It comes and goes this long after and before plucks of its own string. */
const CLEAR: Micros = 250 * MILLISECOND;

/**
 * A thumb that rests on the pluck pad of a string that is not played just then: 30 to 60 % of a full
 * touch, laid down slowly (80 to 200 ms: it is put there, it does not strike; memory). It may lie
 * there before the take begins and when it ends. It goes to one pad at a time, the one that will be
 * free the longest.
 */
export function restingThumbs(
  plucks: readonly Pluck[],
  { strings }: StringsInstrument,
  length: Micros,
  random: Random,
): Contact[] {
  const contacts: Contact[] = [];
  let now = -SECOND;
  while (now < length) {
    const free = strings.map(({ pluck }) => {
      const own = plucks.filter(({ pad }) => pad === pluck);
      const last = Math.max(...own.filter(({ t }) => t <= now).map(({ t }) => t), -SECOND);
      const next = own.find(({ t }) => t > now)?.t;
      const from = Math.max(now, last < 0 ? -SECOND : last + CLEAR);
      return { pad: pluck, from, to: next === undefined ? length + SECOND : next - CLEAR };
    });
    const best = free.reduce((a, b) => (b.to - b.from > a.to - a.from ? b : a));
    if (best.to - best.from < WORTH_IT) {
      now += CLEAR;
      continue;
    }
    const leaving = Math.round(random.between(60, 150) * MILLISECOND);
    contacts.push({
      kind: 'thumb',
      pad: best.pad,
      at: Math.round(best.from),
      until: Math.round(best.to - leaving),
      peak: random.between(0.3, 0.6),
      landing: Math.round(random.between(80, 200) * MILLISECOND),
      leaving,
      wobble: { ...wobbleOf(random), hz: random.between(0.3, 3) },
      losses: [],
    });
    now = best.to + random.between(200, 800) * MILLISECOND;
  }
  return contacts;
}

/** No brush where the next string is itself played so near, or was just left. */
const ALONE: Micros = 200 * MILLISECOND;

/**
 * A finger that goes on over the edge of its pluck pad: the next string's one gets 30 to 60 % of the
 * touch for 10 to 40 ms in all, beginning 1 to 15 ms after the pluck. Strings are about 1 cm apart and
 * pluck pads about 5 cm long (common practice), so this happens easily.
 */
export function brushes(
  plucks: readonly Pluck[],
  { strings }: StringsInstrument,
  thumbs: readonly Contact[],
  share: number,
  random: Random,
): Contact[] {
  return plucks.flatMap((pluck) => {
    const happens = random.chance(share);
    const side = random.chance(0.5) ? 1 : -1;
    const [after, lasts, part, flank] = [
      random.between(1, 15) * MILLISECOND,
      random.between(10, 40) * MILLISECOND,
      random.between(0.3, 0.6),
      random.between(3, 5) * MILLISECOND,
    ] as const;
    const wobble = wobbleOf(random);
    const next = strings[pluck.string + side] ?? strings[pluck.string - side];
    if (!happens || !next) return [];
    const at = Math.round(pluck.t + after);
    const played = plucks.some(({ pad, t }) => pad === next.pluck && Math.abs(t - at) < ALONE);
    const taken = thumbs.some(
      (thumb) => thumb.pad === next.pluck && thumb.at < at + ALONE && thumb.until > at - ALONE,
    );
    if (played || taken) return [];
    const leaving = Math.round(flank);
    const brush: Contact = {
      kind: 'brush',
      pad: next.pluck,
      at,
      until: Math.round(at + lasts) - leaving,
      peak: part * pluck.strength,
      landing: leaving,
      leaving,
      wobble,
      losses: [],
    };
    return [brush];
  });
}
