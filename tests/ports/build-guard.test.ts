import { describe, expect, it } from 'vitest';
import type { Build } from '../../src/instrument/types.js';
import { swapped, type SeatPlan } from '../../src/pipeline.js';
import { buildGuard } from '../../src/ports/build-guard.js';
import type { Notice } from '../../src/ports/contracts.js';
import { formatSwap, parseSwap } from '../../src/takes/swap.js';
import type { Swap, WireEvent } from '../../src/wire/scan.js';
import { BASS, PLAIN } from '../support/bass.js';

const MS = 1_000;
const PADS = Array.from({ length: 20 }, (_, pad) => pad);
const RESTS = PADS.map((pad) => 1_000 + 97 * ((7 * pad) % 20));
/** Input n is pad 19 − n, so that a wiring that got lost would show. */
const BUILD: Build = {
  wiring: PADS.map((input) => 19 - input),
  pads: RESTS.map((rest) => ({ rest, span: 500, noise: 10, coupling: [] })),
};
const PLAN: SeatPlan = {
  instrument: BASS,
  rules: PLAIN,
  pads: { pads: 20, build: BUILD, full: 16_383, decided: false },
};

/** A room of one seat: what it is told, and what it plays by. */
function room(plan = PLAN) {
  const told: Notice[] = [];
  const fits: unknown[] = [];
  let now = plan;
  let t = 0;
  const see = (event: WireEvent): void => {
    guard.reading({ type: 'seated', t: event.t, seat: 0, event });
    now = swapped(now, event)?.plan ?? now;
  };
  const guard = buildGuard({
    room: 'hall',
    tell: (notice) => told.push(notice),
    swap: (_, files) => see({ type: 'swap', t, ...files }),
    onFit: (_, misfit) => fits.push(misfit),
  });
  guard.seat(0, { name: 'north', build: 'north', plan });
  return {
    told,
    fits,
    guard,
    see,
    get pads() {
      return now.pads;
    },
    /** A second of a unit at rest. */
    async plays(rests: readonly number[]) {
      for (let k = 0; k < 250; k++) {
        t += 4 * MS;
        see({ type: 'scan', t, inputs: PADS, raws: PADS.map((input) => rests[19 - input]!) });
        await Promise.resolve();
      }
    },
    async pulled() {
      see({ type: 'reset', t, why: 'lost' });
      await Promise.resolve();
    },
    saved: (files: Omit<Swap, 'type' | 't'>) => see({ type: 'swap', t, ...files }),
  };
}

const other = RESTS.map((rest, pad) => rest + (pad % 2 === 0 ? 600 : -600));

describe('a seat whose build is not of its unit', () => {
  it('is told once and calibrated as it starts, with the wiring of the build', async () => {
    const { told, fits, plays } = room();
    await plays(other);
    expect(told).toMatchObject([{ level: 'warn', where: 'seat north' }]);
    expect(told[0]!.what).toMatch(/^build "north" does not fit this unit: at rest, 10 of 20 pads/);
    expect(told[0]!.next).toMatch(/"pluckwork wire hall --seat north"/);
    expect(fits).toEqual(['rests']);
  });

  it('plays by what is swapped in, and by its build again after the unit was changed', async () => {
    const seat = room();
    await seat.plays(other);
    expect(seat.pads).toMatchObject({ build: null, wiring: BUILD.wiring });
    await seat.pulled();
    expect(seat.pads).toMatchObject({ build: BUILD });
    expect(seat.pads.wiring).toBeUndefined();
    // The same unit again: nothing new to tell.
    await seat.plays(other);
    expect(seat.pads.build).toBeNull();
    expect(seat.told).toHaveLength(1);
    await seat.pulled();
    await seat.plays(RESTS);
    expect(seat.pads.build).toBe(BUILD);
    expect(seat.told.at(-1)).toMatchObject({ what: 'build "north" fits the unit that plays now' });
    expect(seat.fits).toEqual(['rests', null]);
  });

  it('plays on the scale of the board where that is all that differs', async () => {
    const seat = room();
    await seat.plays(RESTS.map((rest) => rest / 16));
    const { pads } = seat.pads.build!;
    expect(pads.map((pad) => Math.round(pad!.span))).toEqual(PADS.map(() => Math.round(500 / 16)));
    expect(pads[3]!.rest).toBeCloseTo(RESTS[3]! / 16, 6);
    expect(seat.told.map(({ what }) => what)).toEqual([
      'build "north" does not fit this unit: at rest, its pads read about one 16th of what the build says',
    ]);
  });

  it('keeps its build where two wires changed places, and names their pads', async () => {
    const seat = room();
    const exchanged = [...RESTS];
    [exchanged[0], exchanged[2]] = [RESTS[2]!, RESTS[0]!];
    await seat.plays(exchanged);
    expect(seat.pads.build).toBe(BUILD);
    expect(seat.told.map(({ what }) => what)).toEqual([
      'wires seem to have changed places since build "north" was made: G2 fret 1, A1 fret 1',
    ]);
  });

  it('is looked at again with every build that is saved, and with every seat that joins', async () => {
    const seat = room();
    await seat.plays(other);
    const fitting = { ...BUILD, pads: BUILD.pads.map((pad, i) => ({ ...pad!, rest: other[i]! })) };
    seat.saved({ build: fitting });
    await seat.plays(other);
    expect(seat.pads.build).toBe(fitting);
    expect(seat.fits).toEqual(['rests', null]);
    seat.saved({ build: BUILD });
    await seat.plays(other);
    expect(seat.fits).toEqual(['rests', null, 'rests']);
    seat.guard.seating({ type: 'leave', t: 0, seat: 0 });
    await seat.plays(other);
    expect(seat.fits).toHaveLength(3);
  });

  it('is looked at again after a silence, since another board may have taken the seat', async () => {
    const seat = room();
    await seat.plays(RESTS);
    seat.see({ type: 'reset', t: 1_000 * MS, why: 'quiet' });
    await seat.plays(other);
    expect(seat.fits).toEqual(['rests']);
  });

  it('is not looked at where other rules are saved, nor after the first moment', async () => {
    const seat = room();
    await seat.plays(RESTS);
    seat.saved({ rules: PLAIN });
    await seat.plays(other);
    expect(seat.told).toEqual([]);
  });
});

describe('what a take keeps of it', () => {
  const swap: Swap = { type: 'swap', t: 5, build: null, wiring: [null, 3, 1] };
  it('is read as it was written', () => {
    const { t, swap: files } = JSON.parse(formatSwap(swap)) as { t: number; swap: unknown };
    expect(parseSwap(t, files)).toEqual(swap);
  });

  it.each([
    ['a wiring beside a build', { build: { wiring: [], pads: [] }, wiring: [0] }],
    ['one that is no list', { build: null, wiring: 'ab' }],
    ['one with a pad on two inputs', { build: null, wiring: [1, 1] }],
    ['one with half a pad', { build: null, wiring: [0.5] }],
  ])('is refused where it holds %s', (_, files) => {
    expect(parseSwap(0, files)).toMatch(/"wiring" is no list of pads/);
  });
});
