import type {
  HitsInstrument,
  HolesInstrument,
  Instrument,
  KeysInstrument,
  Rules,
  StringsInstrument,
} from '../../src/instrument/types.js';
import type { ListedNote } from '../../src/takes/read-notes.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { playPipe } from '../playing/pipe-hands.js';
import { landingOf, leavingOf, PEAK_VARIES, wobbleOf, type Contact } from '../sim/contact.js';
import { playTune } from '../sim/player.js';
import { randomOf, type Random } from '../sim/random.js';
import { randomTune } from '../sim/tune.js';

/** Some bars of somebody's playing: what the fingers do, and what is meant by it. */
export interface Phrase {
  readonly contacts: readonly Contact[];
  readonly wanted: readonly ListedNote[];
  readonly length: Micros;
}

const LEAD_IN: Micros = 600 * MILLISECOND;
const TOUCHES = 48;
/** Fingers of a pipe's player move within so long of each other. */
const APART: Micros = 20 * MILLISECOND;

function meant(onset: Micros, note: number): ListedNote {
  return { onset, offset: null, note, velocity: null, strength: null, string: null };
}

function touchOf(pad: number, at: Micros, until: Micros, random: Random): Contact {
  const strength = random.between(0.5, 1);
  return {
    kind: 'fret',
    pad,
    at,
    until,
    losses: [],
    peak: strength * (1 + random.normal(0, PEAK_VARIES, -0.045, 0.045)),
    landing: landingOf(strength, random),
    leaving: leavingOf(random),
    wobble: wobbleOf(random),
  };
}

/** What one player does for about half a minute: another thing for each number. */
export function phrase(instrument: Instrument, rules: Rules, seed: number, n: number): Phrase {
  const random = randomOf(seed, `class/${String(n)}`);
  switch (instrument.kind) {
    case 'strings':
      return strings(instrument, seed * 1_000 + n);
    case 'keys':
      return keys(instrument, random);
    case 'holes':
      return holes(instrument, rules, seed * 1_000 + n);
    case 'hits':
      return hits(instrument, random);
  }
}

function strings(instrument: StringsInstrument, seed: number): Phrase {
  const { contacts, wanted, length } = playTune(
    randomTune(seed, instrument, TOUCHES),
    instrument,
    seed,
  );
  return { contacts, wanted: wanted.map(({ t, note }) => meant(t, note)), length };
}

/** Chords of up to three keys, each let go before the next. */
function keys(instrument: KeysInstrument, random: Random): Phrase {
  const contacts: Contact[] = [];
  const wanted: ListedNote[] = [];
  let t = LEAD_IN;
  for (let i = 0; i < TOUCHES; i++) {
    const until = t + Math.round(random.between(120, 400)) * MILLISECOND;
    for (const { pad, note } of random.shuffled(instrument.keys).slice(0, 1 + (i % 3))) {
      const at = t + Math.round(random.between(0, 8) * MILLISECOND);
      contacts.push(touchOf(pad, at, until, random));
      wanted.push(meant(at, note));
    }
    t = until + Math.round(random.between(80, 300)) * MILLISECOND;
  }
  return { contacts: inTime(contacts), wanted, length: t + SECOND };
}

/** A pipe answers once its fingers have come to rest: that long after they moved a note is meant. */
function holes(instrument: HolesInstrument, rules: Rules, seed: number): Phrase {
  const hands = playPipe(instrument, seed, { changes: TOUCHES, apart: APART, mouth: 'again' });
  const wanted = hands.meant.map(({ t, note }) => meant(t + APART + rules.holes.settle, note));
  return { contacts: hands.contacts, wanted, length: hands.length };
}

/** One pad or two at once, each left alone for a while after. */
function hits(instrument: HitsInstrument, random: Random): Phrase {
  const contacts: Contact[] = [];
  const wanted: ListedNote[] = [];
  let t = LEAD_IN;
  for (let i = 0; i < 2 * TOUCHES; i++) {
    for (const { pad, drum } of random.shuffled(instrument.hits).slice(0, 1 + (i % 2))) {
      const at = t + Math.round(random.between(0, 5) * MILLISECOND);
      const until = at + Math.round(random.between(35, 70)) * MILLISECOND;
      contacts.push(touchOf(pad, at, until, random));
      wanted.push(meant(at, drum));
    }
    t += Math.round(random.between(150, 400)) * MILLISECOND;
  }
  return { contacts: inTime(contacts), wanted, length: t + SECOND };
}

function inTime(contacts: Contact[]): Contact[] {
  return contacts.sort((a, b) => a.at - b.at);
}

/** The body of an instrument as simulated units know bodies: pads in a row, where it is no strings. */
export function bodyOf(instrument: Instrument): StringsInstrument {
  if (instrument.kind === 'strings') return instrument;
  const pads =
    instrument.kind === 'keys'
      ? instrument.keys.map(({ pad }) => pad)
      : instrument.kind === 'hits'
        ? instrument.hits.map(({ pad }) => pad)
        : [...instrument.holes, ...(instrument.mouth === null ? [] : [instrument.mouth])];
  const { name } = instrument;
  const [pluck = 0, ...frets] = [...pads].reverse();
  return {
    name,
    kind: 'strings',
    sound: 1,
    strings: [{ open: 60, frets: frets.reverse(), pluck }],
  };
}
