import type { Build, PadBuild } from '../instrument/types.js';
import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';
import type { Scan } from '../wire/scan.js';
import { SPARSE_FULL, type PadsPlan } from '../pads/plan.js';
import { median, quantile } from '../pads/series.js';

/**
 * Why a build cannot be that of the unit that sends.
 *
 * range: it rests beyond the board's full scale. scale: every pad rests at the same multiple of what the
 * build says, as with another resolution. rests: too many pads rest where no touch could bring them.
 * wires: some pads read each other's rests, as after two wires changed places.
 */
export type Misfit =
  | {
      readonly kind: 'range';
      readonly pads: readonly number[];
      readonly full: number;
      /** As of `scale`; null: at no multiple. */
      readonly times: number | null;
    }
  | { readonly kind: 'scale'; readonly pads: readonly number[]; readonly times: number }
  | { readonly kind: 'rests'; readonly pads: readonly number[]; readonly of: number }
  | { readonly kind: 'wires'; readonly pads: readonly number[] };

/** Watches a unit from its first reading on, until it can be told whether its build fits. */
export interface FitWatch {
  /**
   * Takes in one reading.
   *
   * @returns null while it cannot be told yet, then once a misfit or `fits`
   */
  scan(scan: Scan): Misfit | 'fits' | null;
}

/** So long is looked at, where enough readings come in that time; longer, up to LONGEST, where not. */
const LOOK: Micros = 500 * MILLISECOND;
const LONGEST: Micros = 5 * SECOND;
/** Readings of one pad that are enough, and fewer than LEAST say nothing of it. */
const ENOUGH = 8;
const LEAST = 3;
/** Readings closer than this tell nothing more. */
const APART: Micros = 8 * MILLISECOND;

/**
 * Shares of a full touch. A rest that wandered lies within ASTRAY (the worst units of tests/sim wander by
 * half a touch at most), and a finger brings a pad to no more than BEYOND: a touch under which a unit is
 * calibrated is firm, and the firmest are a quarter firmer (`strength.ts`).
 */
const ASTRAY = 0.7;
const BEYOND = 2;
/** And it must be this many times as far as the noise is wide: of a dead pad nothing can be told. */
const OVER_NOISE = 2;

/** So many pads, of all, cannot have been calibrated with something on them: one or two may have been. */
const SHARE = 0.15;
const FEWEST = 2;
const PER_ODD = 4;

/** Rests that are the same multiple of the build's within this, for nearly all pads, are on another scale. */
const ALIKE = 0.12;
const NEARLY_ALL = 0.8;
const OTHER_SCALE = 1.4;

/** A pad reads another's rest where it is no further from it than this share of a touch. */
const AS_OTHER = 0.25;

/**
 * What a seat plays by while its build does not fit: on the board's own scale where that is all that
 * differs, else calibrated as it starts. Null: the build, since most of its pads are right.
 */
export function insteadOf(
  misfit: Misfit,
  build: Build,
): { readonly build: Build } | { readonly build: null; readonly wiring: Build['wiring'] } | null {
  switch (misfit.kind) {
    case 'wires':
      return null;
    case 'rests':
      return { build: null, wiring: build.wiring };
    case 'range':
    case 'scale': {
      const { times } = misfit;
      return times === null
        ? { build: null, wiring: build.wiring }
        : { build: scaled(build, times) };
    }
  }
}

/** Shares of couplings are of changes, and stay. */
function scaled({ wiring, pads }: Build, times: number): Build {
  return {
    wiring,
    pads: pads.map(
      (pad) =>
        pad && {
          ...pad,
          rest: pad.rest * times,
          span: pad.span * times,
          noise: pad.noise * times,
        },
    ),
  };
}

interface Watched {
  readonly input: number;
  readonly pad: number;
  readonly known: PadBuild;
  readonly raws: number[];
  last: Micros;
}

/** One pad's rest as it reads, against its build. */
interface Rested {
  readonly pad: number;
  readonly known: PadBuild;
  readonly rest: number;
  /** How far that is from the build's rest, in full touches: below 0 on the side that no touch is. */
  readonly off: number;
  /** Further from it than noise is wide. */
  readonly sure: boolean;
}

/**
 * Whether a unit's first readings fit its build. Null where that cannot be told: without a build, where
 * the board decides itself what is a touch, or where a wire of 7 bits tells only changes.
 *
 * Nobody need let go of the unit: a touch moves a pad one way only, and not as far as another unit's
 * rests are away.
 */
export function fitWatch(plan: PadsPlan): FitWatch | null {
  const { build, full, decided } = plan;
  if (build === null || decided || full <= SPARSE_FULL) return null;
  const watched = watchedOf(build);
  if (watched.size === 0) return null;
  let begun: Micros | null = null;
  let over = false;

  function judge(t: Micros): Misfit | 'fits' | null {
    const all = [...watched.values()];
    const since = t - begun!;
    if (since < LOOK) return null;
    if (since < LONGEST && !all.every(({ raws }) => raws.length >= ENOUGH)) return null;
    over = true;
    return misfitOf(all.flatMap(restedOf), full) ?? 'fits';
  }

  return {
    scan({ t, inputs, raws }) {
      if (over) return null;
      begun ??= t;
      for (let i = 0; i < inputs.length; i++) {
        const one = watched.get(inputs[i]!);
        if (!one || t - one.last < APART) continue;
        one.last = t;
        one.raws.push(raws[i]!);
      }
      return judge(t);
    },
  };
}

function watchedOf({ wiring, pads }: Build): Map<number, Watched> {
  const watched = new Map<number, Watched>();
  wiring.forEach((pad, input) => {
    const known = pad === null ? null : pads[pad];
    if (pad === null || !known) return;
    watched.set(input, { input, pad, known, raws: [], last: -Infinity });
  });
  return watched;
}

function restedOf({ pad, known, raws }: Watched): Rested[] {
  if (raws.length < LEAST) return [];
  const rest = median(raws);
  const wide = Math.max(known.noise, quantile(raws, 0.9) - quantile(raws, 0.1));
  const off = (rest - known.rest) / known.span;
  const sure = Math.abs(rest - known.rest) > OVER_NOISE * wide;
  return [{ pad, known, rest, off, sure }];
}

function misfitOf(rested: readonly Rested[], full: number): Misfit | null {
  const padsOf = (list: readonly Rested[]): number[] =>
    list.map(({ pad }) => pad).sort((a, b) => a - b);
  const many = Math.max(FEWEST, Math.ceil(SHARE * rested.length));
  // With fewer pads than that, all of them.
  const enough = (list: readonly Rested[]): boolean =>
    list.length >= Math.min(many, Math.max(1, rested.length));
  const beyond = rested.filter(({ known }) => known.rest > full);
  if (enough(beyond)) return { kind: 'range', pads: padsOf(beyond), full, times: scaleOf(rested) };
  const impossible = rested.filter(({ off, sure }) => sure && (off < -ASTRAY || off > BEYOND));
  if (enough(impossible)) {
    const times = scaleOf(rested);
    if (times !== null) return { kind: 'scale', pads: padsOf(impossible), times };
    return { kind: 'rests', pads: padsOf(impossible), of: rested.length };
  }
  const exchanged = impossible.length > 0 ? exchangedOf(rested) : [];
  if (exchanged.length > 0) return { kind: 'wires', pads: padsOf(exchanged) };
  // Of pads that a touch may explain, several tell as much as one that it does not.
  const odd = rested.filter(({ off, sure }) => sure && off > ASTRAY && off <= BEYOND);
  const weight = impossible.length + odd.length / PER_ODD;
  return impossible.length >= FEWEST && weight >= many
    ? { kind: 'rests', pads: padsOf([...impossible, ...odd]), of: rested.length }
    : null;
}

/** The multiple of the build's rests at which nearly all pads rest; null where there is none. */
function scaleOf(rested: readonly Rested[]): number | null {
  const times = rested.map(({ rest, known }) => rest / known.rest);
  const middle = median(times);
  const alike = times.filter((one) => Math.abs(one / middle - 1) <= ALIKE).length;
  const other = middle >= OTHER_SCALE || middle <= 1 / OTHER_SCALE;
  return other && alike >= NEARLY_ALL * times.length ? middle : null;
}

/** Pads away from their rests, each of which reads the rest of another of them. */
function exchangedOf(rested: readonly Rested[]): readonly Rested[] {
  const away = rested.filter(({ off, sure }) => sure && Math.abs(off) > ASTRAY);
  if (away.length < 2) return [];
  const read = away.map((one) => {
    const near = away.filter(
      (other) =>
        other !== one &&
        Math.abs(one.rest - other.known.rest) <= AS_OTHER * Math.abs(other.known.span),
    );
    return near.sort(
      (a, b) => Math.abs(one.rest - a.known.rest) - Math.abs(one.rest - b.known.rest),
    )[0];
  });
  const all = new Set(read);
  return !all.has(undefined) && all.size === away.length ? away : [];
}
