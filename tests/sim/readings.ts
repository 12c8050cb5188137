import type { Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';
import { goneAt, touchedShare, type Contact } from './contact.js';
import { randomOf } from './random.js';
import { FULL, type SimUnit } from './unit.js';

/** How a board reads a unit, and how its scans arrive. */
export interface Sampling {
  /** Scans a second. */
  readonly rate: number;
  /** One scan in so many is lost on the way; 0: none. */
  readonly lost: number;
  /**
   * Inputs are read one after the other, this long apart, and the scan is stamped after the last.
   * 50 µs fits a multiplexer in front of a converter; memory.
   */
  readonly apart: Micros;
  /** Standard deviation of the stamps about even times: the host is told a little later. Memory. */
  readonly stamp: Micros;
}

export const OWN_SAMPLING: Sampling = { rate: 250, lost: 0, apart: 50, stamp: 100 };

/** What is to be read: contacts in the take's own time, and where the take lies in its session. */
export interface Stretch {
  readonly label: string;
  readonly contacts: readonly Contact[];
  readonly length: Micros;
  /** When the take begins, after the session's start: drift and hum go on from take to take. */
  readonly begins: Micros;
}

/** ln(1 + k·x) / ln(1 + k): x at k = 0. Odd about 0, so that noise stays even. */
export function compressed(x: number, k: number): number {
  return k === 0 ? x : (Math.sign(x) * Math.log1p(k * Math.abs(x))) / Math.log1p(k);
}

/** The readings of a unit while somebody touches it: the same for the same unit, stretch and sampling. */
export function scansOf(unit: SimUnit, stretch: Stretch, options: Partial<Sampling> = {}): Scan[] {
  const { rate, lost, apart, stamp } = { ...OWN_SAMPLING, ...options };
  const { pads, wiring, span, coupling } = unit;
  const noise = randomOf(unit.seed, `${stretch.label}/noise`);
  const losing = randomOf(unit.seed, `${stretch.label}/lost`);
  const stamping = randomOf(unit.seed, `${stretch.label}/stamp`);
  const every = 1_000_000 / rate;
  const first = every * stamping.next();
  const place = new Int32Array(pads);
  wiring.forEach((pad, input) => (place[pad] = input));

  const waiting = [...stretch.contacts].sort((a, b) => a.at - b.at);
  let next = 0;
  let active: Contact[] = [];
  const touched = new Float64Array(pads);
  const inputs = wiring.map((_, input) => input);
  const sign = unit.falls ? -1 : 1;
  const scans: Scan[] = [];

  for (let k = 0; first + k * every <= stretch.length; k++) {
    const exact = first + k * every;
    const whole = unit.wiring.length - 1;
    while (next < waiting.length && waiting[next]!.at <= exact) active.push(waiting[next++]!);
    active = active.filter((contact) => goneAt(contact) > exact - whole * apart);

    touched.fill(0);
    for (const contact of active) {
      const t = exact - (whole - place[contact.pad]!) * apart;
      touched[contact.pad] = Math.max(touched[contact.pad]!, touchedShare(contact, t));
    }
    const raws = new Array<number>(pads);
    for (let input = 0; input < pads; input++) {
      const pad = wiring[input]!;
      let change = touched[pad]! * span[pad]!;
      if (active.length > 0) {
        for (const { from, share } of coupling[pad]!)
          change += share * touched[from]! * span[from]!;
      }
      if (unit.compress > 0) change = span[pad]! * compressed(change / span[pad]!, unit.compress);
      const seconds = (stretch.begins + exact - (whole - input) * apart) / 1_000_000;
      const hum =
        unit.hum[pad]! *
        (1 + (unit.aerial - 1) * touched[pad]!) *
        Math.sin(2 * Math.PI * unit.mainsHz * seconds + unit.phase[pad]!);
      const raw =
        unit.rest[pad]! +
        unit.drift[pad]!(seconds) +
        sign * change +
        unit.sigma[pad]! * noise.gauss() +
        hum;
      raws[input] = Math.min(FULL, Math.max(0, Math.round(raw)));
    }
    const late = stamp * Math.abs(stamping.gauss());
    if (lost > 0 && losing.chance(1 / lost)) continue;
    const t = Math.max(Math.round(exact + Math.min(late, every / 2)), scans.at(-1)?.t ?? 0);
    scans.push({ type: 'scan', t, inputs, raws });
  }
  return scans;
}
