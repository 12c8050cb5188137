import { readingsOf, type Gesture } from '../../src/demo/gestures.js';
import type { Scan } from '../../src/wire/scan.js';
import { UNIT } from './performance.js';

/* A unit with four faults, as a class may build it, while somebody touches its pads in turn. */

/** Its wire is broken under the tape: a touch moves nothing. */
export const DEAD = 5;
/** Its cover is too thick: a touch is three and a half times the noise, and it takes five times. */
export const WEAK = 10;
/** Shorted to the supply: full scale all the time. */
export const STUCK = 13;
/** Not joined to the board at all. */
export const UNHEARD = 15;
/** A tenth of what this pad is touched shows on its neighbour. */
export const LOUD = { from: 0, on: 4, share: 0.1 } as const;

export const SPANS = UNIT.span.map((span, pad) =>
  pad === DEAD ? 0 : pad === WEAK ? 3.5 * UNIT.noise : span,
);

const LET_GO = 3_300_000;
const EACH = 250_000;
const HELD = 150_000;

/** Nobody touches it for 3.3 s; then each pad is touched firmly for 0.15 s, four a second. */
export function* calibration(faulty: boolean): Generator<Scan, void> {
  const unit = faulty ? { ...UNIT, span: SPANS } : UNIT;
  const gestures: Gesture[] = unit.rest.map((_, pad) => {
    const at = LET_GO + EACH * pad;
    return { pad, at, until: at + HELD, strength: 1 };
  });
  const length = LET_GO + EACH * unit.rest.length + 500_000;
  for (const scan of readingsOf(gestures, unit, length, 9)) {
    if (!faulty) {
      yield scan;
      continue;
    }
    const raws = [...scan.raws];
    raws[STUCK] = unit.full;
    raws[LOUD.on]! += Math.round(LOUD.share * (raws[LOUD.from]! - unit.rest[LOUD.from]!));
    const heard = scan.inputs.filter((input) => input !== UNHEARD);
    yield { ...scan, inputs: heard, raws: heard.map((input) => raws[input]!) };
  }
}
