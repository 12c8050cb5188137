import { padCount } from '../../src/instrument/instrument.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Build } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';
import { demoPart, demoUnit, gesturesOf } from '../../src/demo/demo.js';
import { DEMO_LENGTH } from '../../src/demo/tune.js';
import { readingsOf, SCAN_EVERY } from '../../src/demo/gestures.js';
import { SECOND, type Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { ownBuild } from '../sim/measuring.js';
import { randomOf } from '../sim/random.js';
import { simulate } from '../sim/session.js';
import { TUNES } from '../sim/tunes.js';
import { FULL } from '../sim/unit.js';
import { shipped } from '../support/kinds.js';

/** How a pad's rest wanders, in raw counts, at a time in seconds. */
type Wander = (seconds: number) => number;

/** One seat's player, who plays one piece again and again on a unit whose rests wander for hours. */
export interface Player {
  readonly plan: SeatPlan;
  /** How long the piece is. */
  readonly length: Micros;
  /** What the board reads at a time. */
  scanAt(t: Micros): Scan;
}

/** The readings of one piece, at even times, as they would be if no rest ever wandered. */
interface Piece {
  readonly plan: SeatPlan;
  readonly spans: readonly number[];
  /** By scan, the raw values by input. */
  readonly scans: readonly Int16Array[];
}

const KINDS = ['keys-13', 'pipe-8', 'drums-6', 'ukulele-4x6'];
/** A rest wanders at most by this share of its span, within some minutes and again within the hour. */
const WANDERS = 0.25;

/**
 * A class of players: every second one on a simulated bass (`tests/sim`: noise, hum, coupling, its own
 * calibration), the others on units of all kinds that are calibrated as they go.
 *
 * @param rate scans a second
 */
export function classOf(seats: number, rate: number): Player[] {
  const pieces = new Map<string, Piece>();
  return Array.from({ length: seats }, (_, seat) => {
    // Eight of each are enough to differ, and are made once.
    const which = seat % 16;
    const key = String(which);
    const piece = pieces.get(key) ?? (which % 2 === 0 ? bass(which, rate) : other(which, rate));
    pieces.set(key, piece);
    return playerOf(piece, seat, rate);
  });
}

function playerOf({ plan, spans, scans }: Piece, seat: number, rate: number): Player {
  const inputs = spans.map((_, input) => input);
  const wanders = spans.map((span, input) => wanderOf(seat, input, WANDERS * span));
  const drift = new Int16Array(spans.length);
  let second = -1;
  return {
    plan,
    length: (scans.length * SECOND) / rate,
    scanAt(t) {
      const now = Math.floor(t / SECOND);
      if (now !== second) {
        second = now;
        for (const [input, wander] of wanders.entries()) drift[input] = Math.round(wander(now));
      }
      const read = scans[Math.round((t * rate) / SECOND) % scans.length]!;
      const raws = new Array<number>(read.length);
      for (let i = 0; i < raws.length; i++) {
        raws[i] = Math.min(FULL, Math.max(0, read[i]! + drift[i]!));
      }
      return { type: 'scan', t, inputs, raws };
    },
  };
}

/** Three waves of some minutes to an hour; none of them fits the length of a piece. */
function wanderOf(seat: number, input: number, size: number): Wander {
  const random = randomOf(seat, `soak/${String(input)}`);
  const waves = [300, 1_100, 3_700].map((period) => ({
    period: period * random.between(0.8, 1.2),
    phase: 2 * Math.PI * random.next(),
  }));
  const wave = (seconds: number): number =>
    waves.reduce((sum, { period, phase }) => {
      return sum + Math.sin((2 * Math.PI * seconds) / period + phase);
    }, 0);
  const start = wave(0);
  return (seconds) => (size * (wave(seconds) - start)) / 3;
}

/** A tune on a simulated unit of the usual grade, without its own drift, which would not close a circle. */
function bass(which: number, rate: number): Piece {
  const session = simulate(
    { grade: 'usual', seed: 100 + which, gap: 0, sampling: { rate: 250, stamp: 0 } },
    TUNES[which % TUNES.length]!,
  );
  const { unit, take } = session;
  const { build } = ownBuild(session);
  const scans = take.scans.map(({ t, raws }) => {
    const seconds = (take.begins + t) / SECOND;
    return Int16Array.from(raws, (raw, input) => raw - unit.drift[unit.wiring[input]!]!(seconds));
  });
  return {
    plan: planOf('bass-4x4', { ...build, wiring: unit.wiring }),
    spans: unit.wiring.map((pad) => unit.span[pad]!),
    scans: every(scans, rate),
  };
}

/** The demo's part on another instrument. */
function other(which: number, rate: number): Piece {
  const name = KINDS[(which >> 1) % KINDS.length]!;
  const plan = planOf(name, null);
  const unit = demoUnit(plan.pads.pads, which);
  const gestures = gesturesOf(demoPart(plan.instrument), plan.instrument);
  const scans = [...readingsOf(gestures, unit, DEMO_LENGTH, which)];
  return {
    plan,
    spans: unit.span,
    scans: every(
      scans.map(({ raws }) => Int16Array.from(raws)),
      rate,
    ),
  };
}

function planOf(name: string, build: Build | null): SeatPlan {
  const instrument = shipped(name);
  const pads = { pads: padCount(instrument), build, full: FULL, decided: false };
  return { instrument, rules: PLAIN, pads };
}

/** Of 250 scans a second only so many. */
function every(scans: readonly Int16Array[], rate: number): Int16Array[] {
  const step = Math.round(SECOND / SCAN_EVERY / rate);
  return scans.filter((_, i) => i % step === 0);
}
