import { instrumentAsWritten } from '../../src/instrument/instrument.js';
import {
  formatHeader,
  formatTakeLine,
  TAKE_VERSION,
  type TakeHeader,
} from '../../src/takes/take.js';
import { SECOND, type Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { BASS } from '../support/bass.js';
import { calibratingTouches, type CalibratingOptions } from './calibrating.js';
import type { Contact } from './contact.js';
import type { GradeName } from './grades.js';
import { playTune, type PlayerOptions, type Wanted } from './player.js';
import { OWN_SAMPLING, scansOf, type Sampling, type Stretch } from './readings.js';
import type { Tune } from './tune.js';
import { buildUnit, FULL, type SimUnit, type UnitOptions } from './unit.js';

/** Everything that may be asked for; what is left out is as on our own units and with careful players. */
export interface SessionOptions {
  readonly grade: GradeName;
  readonly seed: number;
  readonly unit?: Partial<UnitOptions>;
  readonly player?: Partial<PlayerOptions>;
  readonly sampling?: Partial<Sampling>;
  readonly calibrating?: Partial<CalibratingOptions>;
  /** From the end of the calibration to the beginning of the playing: to put the unit down and sit. */
  readonly gap?: Micros;
}

export const GAP: Micros = 20 * SECOND;

/** A take in memory; `takeText` writes it. */
export interface SimTake {
  readonly header: TakeHeader;
  readonly scans: readonly Scan[];
  /** The truth, for checks: nothing that is measured may look at it. */
  readonly contacts: readonly Contact[];
  readonly length: Micros;
  /** When it begins, after the session's start. */
  readonly begins: Micros;
}

export interface SimSession {
  readonly unit: SimUnit;
  readonly calibration: SimTake;
  readonly take: SimTake;
  readonly wanted: readonly Wanted[];
}

/** A unit as it stands in a take's header: its wiring is told, since a pad's place is no secret. */
function headerOf(unit: SimUnit, options: SessionOptions, what: object): TakeHeader {
  return {
    take: TAKE_VERSION,
    inputs: unit.wiring.length,
    full: FULL,
    rate: options.sampling?.rate ?? OWN_SAMPLING.rate,
    instrument: instrumentAsWritten(unit.instrument) as Record<string, unknown>,
    wiring: unit.wiring,
    simulated: { ...options, ...what },
  };
}

function bring(
  unit: SimUnit,
  stretch: Stretch,
  header: TakeHeader,
  options: SessionOptions,
): SimTake {
  const { contacts, length, begins } = stretch;
  return { header, scans: scansOf(unit, stretch, options.sampling), contacts, length, begins };
}

/** Builds a unit, has each pad touched twice, and then a tune (or, with a length, nothing) played on it. */
export function simulate(options: SessionOptions, play: Tune | Micros): SimSession {
  const unit = buildUnit(options.grade, options.seed, BASS, options.unit);
  const touching = calibratingTouches(unit, options.calibrating);
  const nothing = unit.wiring.map(() => null);
  const calibration = bring(
    unit,
    { label: 'calibration', ...touching, begins: 0 },
    {
      ...headerOf(unit, options, { what: 'calibration' }),
      build: { wiring: unit.wiring, pads: nothing },
    },
    options,
  );
  const bounce = unit.grade.bounce;
  const played =
    typeof play === 'number'
      ? { contacts: [], wanted: [], length: play }
      : playTune(play, unit.instrument, options.seed, { bounce, ...options.player });
  const { contacts, length, wanted } = played;
  const begins = touching.length + (options.gap ?? GAP);
  const what = typeof play === 'number' ? 'nobody' : play.name;
  const take = bring(
    unit,
    { label: `take/${what}`, contacts, length, begins },
    headerOf(unit, options, { what }),
    options,
  );
  return { unit, calibration, take, wanted };
}

/** The text of a take's file. */
export function takeText({ header, scans }: SimTake): string {
  return `${[formatHeader(header), ...scans.map(formatTakeLine)].join('\n')}\n`;
}

/**
 * The text of a notes file of what was meant, by time, each `on` with its `strength` beside what
 * every such line has. Velocity is strength as 1 to 127.
 */
export function wantedText(wanted: readonly Wanted[]): string {
  const lines = wanted.flatMap(({ t, end, note, string, fret, strength }, i) => {
    const velocity = Math.max(1, Math.round(127 * strength));
    const voice = i + 1;
    const on = { t, type: 'on', note, velocity, string, fret, voice, strength };
    return [
      { t, order: 1, line: JSON.stringify({ ...on, strength: Number(strength.toFixed(4)) }) },
      { t: end, order: 0, line: JSON.stringify({ t: end, type: 'off', note, voice }) },
    ];
  });
  lines.sort((a, b) => a.t - b.t || a.order - b.order);
  return lines.map(({ line }) => `${line}\n`).join('');
}
