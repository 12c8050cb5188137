import { seededNumbers } from '../../src/demo/gestures.js';
import type { Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';

/** One finger on one pad; times in milliseconds. */
export interface Press {
  readonly pad: number;
  readonly at: number;
  readonly until: number;
  readonly strength?: number;
}

export interface UnitWanted {
  readonly pads: number;
  readonly seed: number;
  /** Inputs of the board; those without a pad only pick up noise. */
  readonly inputs?: number;
  /** 1: a touch raises the reading; -1: it lowers it; 0: each input as it pleases. */
  readonly sign?: 1 | -1 | 0;
  /** Raw counts of 16383; figures of a badly built unit where left out (issue 3, grade "worst"). */
  readonly span?: readonly [number, number];
  readonly sigma?: readonly [number, number];
  readonly hum?: readonly [number, number];
  readonly coupling?: readonly [number, number];
  /** Of what a neighbour shows a share: of the touched pad's change, or of its own span. */
  readonly shareOf?: 'counts' | 'own span';
  readonly bounce?: number;
  readonly mains?: number;
  readonly rate?: number;
  readonly order?: 'any' | 'straight' | 'reversed' | 'one off';
}

export interface WireUnit {
  readonly wiring: readonly (number | null)[];
  readonly inputOf: (pad: number) => number;
  /** Never below 0. */
  readonly spanOf: (pad: number) => number;
  scans(presses: readonly Press[], seconds: number): Scan[];
}

/** A unit whose wiring only the test knows: pad n lies beside pads n ± 1 and n ± 4. */
export function wireUnit(wanted: UnitWanted): WireUnit {
  const { pads, seed, inputs = pads, sign = 1, rate = 250, mains = 50 } = wanted;
  const random = seededNumbers(seed * 7_919 + 13);
  for (let i = 0; i < 20; i++) random();
  const between = ([low, high]: readonly [number, number]): number => low + (high - low) * random();
  const gauss = (): number =>
    Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

  const wiring = wiringOf(wanted, inputs, random);
  const each = Array.from({ length: inputs }, () => ({
    rest: 2_000 + 2_000 * random(),
    span: between(wanted.span ?? [110, 420]) * (sign === 0 ? (random() < 0.5 ? -1 : 1) : sign),
    sigma: between(wanted.sigma ?? [5, 9]),
    hum: between(wanted.hum ?? [6, 14]),
    phase: 0.5 * random(),
  }));
  const shares = new Map<string, number>();
  const share = (on: number, from: number): number => {
    const next = Math.abs(on - from);
    if (next !== 1 && next !== 4) return 0;
    const key = `${String(on)} ${String(from)}`;
    const known = shares.get(key) ?? between(wanted.coupling ?? [0.08, 0.18]);
    shares.set(key, known);
    return known;
  };
  const inputOf = (pad: number): number => wiring.indexOf(pad);

  return {
    wiring,
    inputOf,
    spanOf: (pad) => Math.abs(each[inputOf(pad)]!.span),
    scans(presses, seconds) {
      const bounces = presses.map(() => random() < (wanted.bounce ?? 0.8));
      const losses = presses.map(() => [5 + 10 * random(), 5 + 7 * random()] as const);
      /** Share of a full touch: 10 ms to land, 6 ms to leave, contact lost for a moment early on. */
      const reach = (k: number, ms: number): number => {
        const { at, until, strength = 0.9 } = presses[k]!;
        if (ms <= at || ms >= until + 6) return 0;
        const [after, lasts] = losses[k]!;
        if (bounces[k] && ms > at + after && ms < at + after + lasts) return 0;
        return strength * Math.min(1, (ms - at) / 10, (until + 6 - ms) / 6);
      };
      const scans: Scan[] = [];
      const numbers = each.map((_, input) => input);
      for (let ms = 0; ms <= seconds * 1_000; ms += 1_000 / rate) {
        const touched = new Map<number, number>();
        presses.forEach(({ pad }, k) => {
          const now = reach(k, ms);
          if (now > 0) touched.set(pad, Math.max(now, touched.get(pad) ?? 0));
        });
        const raws = each.map(({ rest, span, sigma, hum, phase }, input) => {
          const pad = wiring[input] ?? null;
          let change = pad === null ? 0 : (touched.get(pad) ?? 0) * span;
          for (const [from, by] of touched) {
            if (pad === null || pad === from) continue;
            const whole = wanted.shareOf === 'own span' ? span : each[inputOf(from)]!.span;
            change += share(pad, from) * by * Math.abs(whole) * Math.sign(span);
          }
          const mainsNow = hum * Math.sin((2 * Math.PI * mains * ms) / 1_000 + phase);
          return Math.max(0, Math.round(rest + change + sigma * gauss() + mainsNow));
        });
        scans.push({ type: 'scan', t: Math.round(ms * 1_000), inputs: numbers, raws });
      }
      return scans;
    },
  };
}

function wiringOf({ pads, order = 'any' }: UnitWanted, inputs: number, random: () => number) {
  const list: (number | null)[] = Array.from({ length: inputs }, (_, i) => (i < pads ? i : null));
  if (order === 'reversed') list.reverse();
  if (order === 'one off') list.unshift(list.pop()!);
  if (order !== 'any') return list;
  for (let i = list.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [list[i], list[j]] = [list[j]!, list[i]!];
  }
  return list;
}

/** Touches of these pads one after the other, `every` ms, each half of that time long. */
export function inTurn(pads: readonly number[], from: number, every = 400): Press[] {
  return pads.map((pad, i) => ({ pad, at: from + i * every, until: from + (i + 0.5) * every }));
}

/**
 * What a wire that tells only changes sends for presses: one message as each begins and one as it
 * ends. Raw values are from 1 to 127, and 0.
 */
export function changesOf(presses: readonly Press[], inputOf: (pad: number) => number): Scan[] {
  const one = (ms: number, pad: number, raw: number): Scan => {
    const t: Micros = Math.round(ms * 1_000);
    return { type: 'scan', t, inputs: [inputOf(pad)], raws: [raw] };
  };
  return presses
    .flatMap(({ pad, at, until, strength = 0.7 }) => [
      one(at, pad, Math.round(127 * strength)),
      one(until, pad, 0),
    ])
    .sort((a, b) => a.t - b.t);
}
