import type { StringsInstrument } from '../../src/instrument/types.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import { bounced, landingOf, leavingOf, PEAK_VARIES, wobbleOf, type Contact } from './contact.js';
import { fretting } from './fretting.js';
import { brushes, restingThumbs } from './habits.js';
import { randomOf, type Random } from './random.js';
import { SOFTEST_NOTE, type Tune } from './tune.js';

/** How somebody plays who is not careful. Shares are of the notes that they can happen to. */
export interface PlayerOptions {
  /** Frets that come 4 to 22 ms after their pluck. */
  readonly late: number;
  /** Frets that are lifted 4 to 22 ms before their pluck. */
  readonly early: number;
  /** Plucks that also brush the pluck pad of the next string. */
  readonly brush: number;
  /** Whether a thumb rests on a pluck pad while its string is not played. */
  readonly thumb: boolean;
  /** Changes of fret on one string that two fingers slide instead of stepping. */
  readonly slide: number;
  /** Rises of pitch on one sounding string that the fretting hand hammers on, without a pluck. */
  readonly hammer: number;
  /** The grade's share of touches that bounce. */
  readonly bounce: number;
}

export const CAREFUL: PlayerOptions = {
  late: 0,
  early: 0,
  brush: 0,
  thumb: false,
  slide: 0,
  hammer: 0,
  bounce: 0,
};

/** A note that was meant: `t` is the first contact of its pluck, `end` when it is let go. */
export interface Wanted {
  readonly t: Micros;
  readonly end: Micros;
  readonly note: number;
  readonly string: number;
  readonly fret: number;
  readonly strength: number;
}

export interface Played {
  /** All contacts by their beginning. */
  readonly contacts: readonly Contact[];
  /** By onset. */
  readonly wanted: readonly Wanted[];
  readonly length: Micros;
}

/** One pluck as it is done, before the fretting hand is thought of. */
export interface Pluck extends Wanted {
  readonly pad: number;
  /** Sounded by its fret alone, which carries the note before it on. */
  readonly hammered: boolean;
}

/** Nobody touches for this long before the first beat, nor after the last note. */
const LEAD_IN: Micros = 1_500 * MILLISECOND;

/** Steady tapping itself varies by about 4 ms (QUOTED in Jack et al. 2018); nobody is off by more than three of these. */
const TAPPING: Micros = 4 * MILLISECOND;

/** From one time to the next a meant strength comes out a little otherwise; memory. It is the wanted one. */
const MEANT_VARIES = 0.03;

/** A pluck lasts so long, less where the string is plucked again soon. Memory, no source. */
const PLUCK: readonly [Micros, Micros] = [50 * MILLISECOND, 130 * MILLISECOND];
/** A finger is off the pad for at least this long between two plucks, and on it at least so long. */
const OFF_BETWEEN: Micros = 40 * MILLISECOND;
const SHORTEST: Micros = 22 * MILLISECOND;
/** Notes of a tune end a little before the next: a finger that waits for a hammer-on stays that long. */
const SOON: Micros = 150 * MILLISECOND;

function plucksOf(tune: Tune, instrument: StringsInstrument, random: Random): Pluck[] {
  const beat = (60 * SECOND) / tune.tempo;
  return tune.notes
    .map(({ beat: at, string, fret, beats, strength }) => {
      const { open, pluck } = instrument.strings[string]!;
      const jitter = random.normal(0, TAPPING, -3 * TAPPING, 3 * TAPPING);
      const meant = random.normal(strength, MEANT_VARIES, SOFTEST_NOTE, 1);
      return {
        t: Math.round(LEAD_IN + at * beat + jitter),
        end: Math.round(LEAD_IN + (at + beats) * beat),
        note: open + fret,
        string,
        fret,
        strength: meant,
        pad: pluck,
        hammered: false,
      };
    })
    .sort((a, b) => a.t - b.t);
}

/** Which notes are hammered on. */
function hammering(plucks: readonly Pluck[], share: number, random: Random): Pluck[] {
  return plucks.map((pluck, i) => {
    const before = plucks.slice(0, i).findLast(({ string }) => string === pluck.string);
    const sounds = before !== undefined && before.end > pluck.t - SOON;
    const can = sounds && pluck.fret > before.fret;
    return { ...pluck, hammered: random.chance(share) && can };
  });
}

function pluckContact(pluck: Pluck, next: Pluck | undefined, random: Random): Contact {
  const leaving = leavingOf(random);
  const most = next ? next.t - pluck.t - leaving - OFF_BETWEEN : Infinity;
  const hold = Math.max(SHORTEST, Math.min(most, random.between(...PLUCK)));
  return {
    kind: 'pluck',
    pad: pluck.pad,
    at: pluck.t,
    until: Math.round(pluck.t + hold),
    peak: pluck.strength * (1 + random.normal(0, PEAK_VARIES, -0.045, 0.045)),
    landing: landingOf(pluck.strength, random),
    leaving,
    wobble: wobbleOf(random),
    losses: [],
  };
}

/** A tune as one person plays it once: the same for the same seed and options. */
export function playTune(
  tune: Tune,
  instrument: StringsInstrument,
  seed: number,
  options: Partial<PlayerOptions> = {},
): Played {
  const how = { ...CAREFUL, ...options };
  const random = (part: string): Random => randomOf(seed, `player/${tune.name}/${part}`);
  const meant = plucksOf(tune, instrument, random('time'));
  const plucks = hammering(meant, how.hammer, random('hammers'));

  const plucking = random('pluck');
  const contacts = plucks
    .map((pluck, i) =>
      pluckContact(
        pluck,
        plucks.slice(i + 1).find(({ pad }) => pad === pluck.pad),
        plucking,
      ),
    )
    .filter((_, i) => !plucks[i]!.hammered);
  const lets: { note: Pluck; end: Micros }[] = [];
  instrument.strings.forEach(({ frets }, string) => {
    const own = plucks.filter((pluck) => pluck.string === string);
    const hand = fretting(
      own,
      frets,
      how,
      random(`frets/${String(string)}`),
      random(`slides/${String(string)}`),
    );
    contacts.push(...hand.contacts);
    lets.push(...hand.lets);
  });

  const plucked = plucks.filter(({ hammered }) => !hammered);
  const length = Math.max(...contacts.map(({ until }) => until)) + LEAD_IN;
  const bouncing = random('bounce');
  const all = contacts.map((contact) => bounced(contact, how.bounce, bouncing));
  const thumbs = how.thumb ? restingThumbs(plucked, instrument, length, random('thumb')) : [];
  all.push(...thumbs, ...brushes(plucked, instrument, thumbs, how.brush, random('brush')));

  const wanted = plucks.map((pluck, i): Wanted => {
    const { t, note, string, fret, strength } = pluck;
    const again = plucks.slice(i + 1).find((one) => one.string === string);
    const let_ = lets.find((one) => one.note === pluck)?.end ?? pluck.end;
    const end = Math.max(t + 1, Math.min(let_, again?.t ?? Infinity));
    return { t, end, note, string, fret, strength };
  });
  return { contacts: all.sort((a, b) => a.at - b.at), wanted, length };
}
