import type { HolesInstrument, StringsInstrument } from '../../src/instrument/types.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { landingOf, leavingOf, PEAK_VARIES, wobbleOf, type Contact } from '../sim/contact.js';
import { randomOf, type Random } from '../sim/random.js';

/** A note that a pipe's player meant, and about when the hand began to move to it. */
export interface MeantNote {
  readonly t: Micros;
  readonly note: number;
  /** Whether the mouth was touched again for it. */
  readonly blown: boolean;
}

export interface PipeHands {
  readonly contacts: readonly Contact[];
  readonly meant: readonly MeantNote[];
  readonly length: Micros;
}

export interface HandsOptions {
  readonly changes: number;
  /** The fingers of one change begin to move within so long of each other. */
  readonly apart: Micros;
  /**
   * held: one touch of the mouth for some changes; again: the mouth is touched in the midst of each.
   * Without a mouth, the fingers leave before a note that is blown.
   */
  readonly mouth: 'held' | 'again';
}

/** The body of a pipe as the simulated units know bodies: pads side by side in a row, and one more. */
export function pipeBody({ name, holes, mouth }: HolesInstrument): StringsInstrument {
  const pluck = mouth ?? holes.length;
  return { name, kind: 'strings', sound: 1, strings: [{ open: 60, frets: holes, pluck }] };
}

const LEAD_IN: Micros = 1_500 * MILLISECOND;
/** With the mouth held, so many changes go on one breath. */
const BREATH = 12;

/** At a random moment of the time in which the fingers move; often at its very ends. */
function momentOf(apart: Micros, random: Random): Micros {
  const where = random.next();
  return where < 0.25 ? 0 : where < 0.5 ? apart : Math.round(random.between(0, apart));
}

/** Somebody who changes at random from fingering to fingering, each finger at its own moment. */
export function playPipe(
  instrument: HolesInstrument,
  seed: number,
  { changes, apart, mouth }: HandsOptions,
): PipeHands {
  const random = randomOf(seed, `pipe/${mouth}`);
  const contacts: Contact[] = [];
  const meant: MeantNote[] = [];
  const since: (Micros | null)[] = instrument.holes.map(() => null);
  let mouthSince: Micros | null = null;

  function touch(pad: number, at: Micros, until: Micros, strength: number): void {
    contacts.push({
      kind: 'fret',
      pad,
      at,
      until,
      peak: strength * (1 + random.normal(0, PEAK_VARIES, -0.045, 0.045)),
      landing: landingOf(strength, random),
      leaving: leavingOf(random),
      wobble: wobbleOf(random),
      losses: [],
    });
  }

  function leaveMouth(until: Micros): void {
    if (mouthSince === null) return;
    touch(instrument.mouth!, mouthSince, until, random.between(0.5, 1));
    mouthSince = null;
  }

  function leaveHoles(from: Micros): void {
    since.forEach((closed, h) => {
      if (closed === null) return;
      touch(instrument.holes[h]!, closed, from + momentOf(apart, random), random.between(0.6, 1));
      since[h] = null;
    });
  }

  let t = LEAD_IN;
  let row = instrument.fingerings[0]!;
  for (let i = 0; i < changes; i++) {
    const next = random.pick(instrument.fingerings.filter((one) => one !== row));
    const blown = mouth === 'again' || i % BREATH === 0;
    // The mouth is off before the fingers move, and it has been heard to be.
    if (blown) leaveMouth(t - Math.round(random.between(60, 120) * MILLISECOND));
    if (blown && instrument.mouth === null) leaveHoles(t - 150 * MILLISECOND);
    if (blown && instrument.mouth !== null) mouthSince = t + momentOf(apart, random);
    next.holes.forEach((hole, h) => {
      const closed = since[h] ?? null;
      if ((hole === 'closed') === (closed !== null)) return;
      const at = t + momentOf(apart, random);
      if (closed !== null) touch(instrument.holes[h]!, closed, at, random.between(0.6, 1));
      since[h] = closed === null ? at : null;
    });
    meant.push({ t, note: next.note, blown });
    row = next;
    t += Math.round(random.between(260, 520) * MILLISECOND);
  }
  leaveMouth(t);
  since.forEach((closed, h) => {
    if (closed !== null) touch(instrument.holes[h]!, closed, t + 50 * MILLISECOND, 0.9);
  });
  contacts.sort((a, b) => a.at - b.at);
  return { contacts, meant, length: t + SECOND };
}
