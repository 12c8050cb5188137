import { describe, expect, it } from 'vitest';
import { filledIn, sameWiring, wiredBuild, wiringFrom } from '../../src/wiring/build.js';
import type { WireEnd } from '../../src/wiring/notice.js';
import type { Build, PadBuild } from '../../src/instrument/types.js';
import { BOARD, learn, LIVE } from './learn.js';
import { changesOf, inTurn, wireUnit } from './unit.js';

const pad = (span: number): PadBuild => ({ rest: 1, span, noise: 2, coupling: [] });

function ended(learned: ReturnType<typeof learn>): WireEnd {
  const last = learned.notices.at(-1)!;
  if (last.type !== 'kept') throw new Error(`it was ${last.type}: ${learned.told.join('; ')}`);
  return last;
}

describe('a wiring', () => {
  it('is as long as the highest input that was heard, null where no pad is', () => {
    const answers = [
      { pad: 1, input: 3 },
      { pad: 0, input: null },
      { pad: 2, input: 0 },
    ];
    expect(wiringFrom(answers, 5)).toEqual([2, null, null, 1, null, null]);
  });

  it('is the same whether or not empty inputs follow', () => {
    expect(sameWiring([1, 0], [1, 0, null])).toBe(true);
    expect(sameWiring([1, 0], [0, 1])).toBe(false);
    expect(sameWiring([1, 0], [1, 0, 2])).toBe(false);
  });
});

describe('the build of a learned wiring', () => {
  const unit = wireUnit({ pads: 20, seed: 21, inputs: 22, sigma: [1, 2], hum: [0, 0], bounce: 0 });
  // Two fingers at once before the right touches: nothing may be learned of them.
  const both = [
    { pad: 3, at: 800, until: 1_000 },
    { pad: 11, at: 830, until: 1_050 },
  ];
  const scans = unit.scans([...both, ...inTurn(LIVE.order, 1_400)], 11);
  const learned = learn(scans);
  const end = ended(learned);

  it('is calibrated from the very touches: spans within 12 % of nine tenths of the truth', () => {
    const { build, calibration, learned: found } = wiredBuild(end, scans, BOARD, null);
    expect(build.wiring).toEqual(unit.wiring);
    expect(calibration).toBe('made');
    expect(found!.unfit).toEqual([]);
    build.pads.forEach((one, index) => {
      // The maker presses to 0.9 of a span.
      const truth = 0.9 * unit.spanOf(index);
      expect(Math.abs(one!.span / truth - 1)).toBeLessThan(0.12);
    });
    // Pads 3 and 11 lie far apart; touched together they would seem to couple.
    expect(build.pads[3]!.coupling.map(({ from }) => from)).not.toContain(11);
    expect(build.pads[11]!.coupling.map(({ from }) => from)).not.toContain(3);
  });

  it('keeps the old calibration where the wiring is the same, and only there', () => {
    const pads = LIVE.order.map((n) => pad(100 + n));
    const old: Build = { wiring: unit.wiring, pads };
    expect(wiredBuild(end, scans, BOARD, old)).toEqual({
      build: old,
      calibration: 'kept',
      learned: null,
    });
    const swapped = [...unit.wiring].reverse();
    const made = wiredBuild(end, scans, BOARD, { ...old, wiring: swapped });
    expect(made.calibration).toBe('made');
    expect(made.build.pads[0]!.span).not.toBe(100);
    const fewer = wiredBuild(end, scans, BOARD, { wiring: unit.wiring, pads: pads.slice(0, 19) });
    expect(fewer.calibration).toBe('made');
  });

  it('learns the pads that an old calibration with the same wiring lacks', () => {
    const pads = LIVE.order.map((n) => (n === 7 ? null : pad(100 + n)));
    const { build, calibration } = wiredBuild(end, scans, BOARD, { wiring: unit.wiring, pads });
    expect(calibration).toBe('completed');
    expect(build.pads[8]).toEqual(pad(108));
    expect(Math.abs(build.pads[7]!.span / (0.9 * unit.spanOf(7)) - 1)).toBeLessThan(0.12);
  });

  it('needs no calibration where the board decides itself', () => {
    const kind = { pads: 20, full: 127, decided: true };
    const notes = changesOf(inTurn(LIVE.order, 0), unit.inputOf);
    const { build, calibration } = wiredBuild(ended(learn(notes, LIVE, kind)), notes, kind, null);
    expect(calibration).toBe('unneeded');
    expect(build.pads).toEqual(LIVE.order.map(() => null));
  });

  it('is calibrated on a wire that tells only changes: rest 0, the span that was sent', () => {
    const kind = { pads: 20, full: 127, decided: false };
    const sent = changesOf(inTurn(LIVE.order, 300), unit.inputOf);
    const { build } = wiredBuild(ended(learn(sent, LIVE, kind)), sent, kind, null);
    for (const one of build.pads) expect(one).toMatchObject({ rest: 0, noise: 0, span: 89 });
  });
});

describe('filling in a wire that tells only changes', () => {
  it('never goes back in time, and keeps every message', () => {
    const sent = changesOf(inTurn([0, 1, 2], 0, 9_000), (n) => n);
    const all = filledIn(sent);
    all.forEach(({ t }, i) => {
      expect(t).toBeGreaterThanOrEqual(all[i - 1]?.t ?? 0);
    });
    expect(all.filter(({ inputs }) => inputs.length > 0)).toHaveLength(sent.length + 1);
    expect(filledIn([])).toEqual([]);
  });
});
