import { MILLISECOND, type Micros } from '../../src/time/micros.js';
import { wobbleOf, type Contact } from './contact.js';
import type { Hold } from './fretting.js';
import type { Random } from './random.js';

/** Two fingers going from one fret of a string to another without lifting. */
export interface Slide {
  readonly from: number;
  readonly to: number;
  /** When the leading finger is still on the middle of its fret, and sets out. */
  readonly begin: Micros;
  /** When the leading finger begins to leave its fret, and when it begins to be on the new one. */
  readonly leaves: Micros;
  readonly arrives: Micros;
  /** From the middle of one fret to the middle of the next. */
  readonly step: Micros;
  /** How long the finger's edge needs to go over a pad's edge. */
  readonly flank: Micros;
}

/** Fret pads are about 3 cm long (common practice); a hand goes 0.4 to 0.85 m/s. Memory, no source. */
const STEP: readonly [Micros, Micros] = [35 * MILLISECOND, 70 * MILLISECOND];
/** The slide is over so long before the next pluck. */
const OVER: readonly [Micros, Micros] = [25 * MILLISECOND, 60 * MILLISECOND];
const AFTER_LAST: Micros = 70 * MILLISECOND;
/** From the middle of a pad to where the finger is off it, and how long its area shrinks, in steps. */
const HALF = 0.6;
const FLANK = 0.4;

/** The slide between two notes of a string, or null where there is none or no time for it. */
export function slideBetween(hold: Hold, next: Hold | undefined, random: Random): Slide | null {
  const [over, step] = [random.between(...OVER), random.between(...STEP)];
  if (!next || hold.fret === 0 || next.fret === 0 || next.fret === hold.fret) return null;
  const end = next.notes[0]!.t - over;
  const begin = end - step * Math.abs(next.fret - hold.fret);
  if (begin < hold.notes.at(-1)!.t + AFTER_LAST) return null;
  return {
    from: hold.fret,
    to: next.fret,
    begin: Math.round(begin),
    leaves: Math.round(begin + (HALF - FLANK) * step),
    arrives: Math.round(end - HALF * step),
    step: Math.round(step),
    flank: Math.round(FLANK * step),
  };
}

/**
 * The frets that the leading finger passes, and all that a second finger, one fret lower, is on:
 * it lies there while the old note sounds, slides along, and lies there for the new one.
 */
export function slid(slide: Slide, frets: readonly number[], random: Random): Contact[] {
  const { from, to, begin, step, flank } = slide;
  const way = Math.sign(to - from);
  const contacts: Contact[] = [];
  function lay(fret: number, at: number, until: number): void {
    const pad = frets[fret - 1];
    if (fret < 1 || pad === undefined) return;
    contacts.push({
      kind: 'fret',
      pad,
      at: Math.round(at),
      until: Math.round(until),
      peak: random.between(0.6, 0.9),
      landing: flank,
      leaving: flank,
      wobble: wobbleOf(random),
      losses: [],
    });
  }
  const steps = Math.abs(to - from);
  for (let k = 0; k <= steps; k++) {
    const middle = begin + k * step;
    const at = middle - HALF * step;
    const until = middle + (HALF - FLANK) * step;
    if (k > 0 && k < steps) lay(from + way * k, at, until);
    const second = from + way * k - 1;
    if (k === 0) lay(second, begin - 60 * MILLISECOND, until);
    else lay(second, at, k === steps ? middle + 120 * MILLISECOND : until);
  }
  return contacts;
}
