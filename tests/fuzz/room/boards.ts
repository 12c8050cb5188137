import { padCount } from '../../../src/instrument/instrument-pads.js';
import type { Instrument } from '../../../src/instrument/types.js';
import { MILLISECOND, type Micros } from '../../../src/time/micros.js';
import type { Happening } from './moves.js';
import { fullOf, instrumentOf, instruments, REST, SPAN, wireOf } from './seats.js';

type Random = () => number;

interface Touch {
  readonly pad: number;
  readonly from: Micros;
  readonly until: Micros;
  readonly strength: number;
}

/** A finger takes so long to flatten on a pad, and to leave it. */
const LANDING = 8 * MILLISECOND;

/** What one player's board sends while hands are on it. */
export interface Board {
  /** What it sends at this time; null where it has nothing to say. Later times only. */
  scan(t: Micros, lag: Micros): Happening | null;
  /** All fingers leave, at once. */
  release(t: Micros): void;
  /** Nobody touches it from now on. */
  resting: boolean;
}

/** A pad of a grip: how long after its beginning a finger comes, and what share of its length it stays. */
type Finger = readonly [pad: number, after: number, share: number];

/** What a player does with the fingers for one note, or a few that hang together. */
function grip(instrument: Instrument, random: Random): Finger[] {
  const any = <T>(from: readonly T[]): T => from[Math.floor(random() * from.length)]!;
  const late = (): number => (random() < 0.3 ? 0.1 * random() : 0);
  const fingers = (pads: readonly number[]): Finger[] =>
    pads.map((pad) => [pad, late(), 0.6 + 0.6 * random()]);
  switch (instrument.kind) {
    case 'strings': {
      const { frets, pluck } = any(instrument.strings);
      if (random() < 0.3) return fingers([pluck]);
      const at = Math.floor(random() * (frets.length - 1));
      const plucked: Finger[] = [[frets[at]!, late(), 1], ...fingers([pluck])];
      // On to the next fret while the first is held, after it, or back from it.
      const on = random();
      if (on < 0.25) return [...plucked, [frets[at + 1]!, 0.5, 0.5]];
      if (on < 0.5) return [...plucked, [frets[at + 1]!, 1, 0.5]];
      return on < 0.75 ? [...plucked, [frets[at + 1]!, 0, 0.5]] : plucked;
    }
    case 'keys':
      return fingers([any(instrument.keys).pad, any(instrument.keys).pad]);
    case 'holes': {
      const { holes } = any(instrument.fingerings);
      const closed = instrument.holes.filter((_, i) => holes[i] !== 'open');
      return fingers(instrument.mouth === null ? closed : [...closed, instrument.mouth]);
    }
    case 'hits':
      return fingers([any(instrument.hits).pad]);
  }
}

export function newBoard(seat: number, random: Random): Board {
  const wire = wireOf(seat);
  const instrument = instruments.get(instrumentOf(seat))!;
  const pads = padCount(instrument);
  const all = Array.from({ length: pads }, (_, pad) => pad);
  const full = fullOf(wire);
  let touches: Touch[] = [];
  let next: Micros = 0;
  const last = new Array<number>(pads).fill(0);
  let voice = 0;
  let sounding: { voice: number; string: number; until: Micros }[] = [];

  /** New touches from time to time: some of them late, some overlapping, some only flickers. */
  function play(t: Micros): void {
    if (t < next) return;
    next = t + (60 + 500 * random()) * MILLISECOND;
    const length = (random() < 0.1 ? 3 : 40 + 500 * random()) * MILLISECOND;
    for (const [pad, after, share] of grip(instrument, random)) {
      const from = t + after * length;
      touches.push({ pad, from, until: from + share * length, strength: 0.3 + 0.7 * random() });
    }
  }

  function levels(t: Micros): Float64Array {
    const of = new Float64Array(pads);
    touches = touches.filter(({ until }) => t < until + LANDING);
    for (const { pad, from, until, strength } of touches) {
      const landed = Math.min(1, Math.max(0, (t - from) / LANDING));
      const left = Math.min(1, Math.max(0, (until + LANDING - t) / LANDING));
      of[pad] = Math.max(of[pad]!, strength * Math.min(landed, left));
    }
    return of;
  }

  function note(t: Micros): Happening | null {
    const over = sounding.find(({ until }) => until <= t);
    if (over) {
      sounding = sounding.filter((one) => one !== over);
      return { what: 'note', seat, on: false, note: 0, ...over };
    }
    if (board.resting || random() < 0.8) return null;
    const until = t + 500 * random() * MILLISECOND;
    // Some names come again while they still sound, and some ends never come.
    const own = { voice: random() < 0.05 ? voice : ++voice, string: Math.floor(random() * 4) };
    if (random() < 0.95) sounding.push({ ...own, until });
    return { what: 'note', seat, on: true, note: Math.floor(random() * 128), ...own };
  }

  const board: Board = {
    resting: false,
    release(t) {
      touches = touches.map((one) => ({ ...one, until: Math.min(one.until, t) }));
      sounding = sounding.map((one) => ({ ...one, until: t }));
    },
    scan(t, lag) {
      if (wire === 'made') return note(t);
      if (!board.resting) play(t);
      const of = levels(t);
      if (full > 127) {
        const raws = all.map((pad) =>
          Math.round(REST(seat, pad) + of[pad]! * SPAN(seat, pad) + 8 * (random() - 0.5)),
        );
        return { what: 'scan', seat, lag, inputs: all, raws };
      }
      const values = all.map((pad) => Math.round(of[pad]! * 126));
      const inputs = all.filter((pad) => values[pad] !== last[pad]);
      if (inputs.length === 0) return null;
      const raws = inputs.map((pad) => (last[pad] = values[pad]!));
      return { what: 'scan', seat, lag, inputs, raws };
    },
  };
  return board;
}

/** More than any of the boards has. */
export const GARBAGE_INPUTS = 24;

/** What no board should send. */
export function garbage(seat: number, lag: Micros, random: Random): Happening {
  const count = Math.floor(random() * GARBAGE_INPUTS);
  const full = fullOf(wireOf(seat));
  const inputs = Array.from({ length: count }, () => Math.floor(random() * GARBAGE_INPUTS));
  const raws = inputs.map(() => Math.floor(random() * (full + 1)));
  return { what: 'scan', seat, lag, inputs, raws };
}
