import { describe, expect, it } from 'vitest';
import { printedOrder } from '../../../../src/instrument/instrument-pads.js';
import type { PadVerdict } from '../../../../src/page/link/state.js';
import { makeGuides } from '../../../../src/page/server/guides/make-guides.js';
import type { ScreenUnit } from '../../../../src/demo/screen-unit.js';
import type { Scan, WireEvent } from '../../../../src/wire/scan.js';
import { shipped } from '../../../support/kinds.js';
import { playedScans } from '../../../support/screen-player.js';
import { guided, SEAT, type Guided, type GuidedMaking } from './guided.js';

const bass = shipped('bass-4x4');
const order = printedOrder(bass);

/** Watches a unit whose pads are touched one by one, as they are printed. */
function touchedThrough(making: GuidedMaking = {}, pads: readonly number[] = order): Guided {
  const one = guided(bass, making);
  one.guides.watch(SEAT, one.seat);
  one.wait(2_000);
  for (const pad of pads) one.tap(pad);
  one.wait(2_500);
  return one;
}

const gradesOf = ({ verdicts }: Guided): Record<string, number[]> => {
  const found: Record<string, number[]> = {};
  for (const { pad, grade } of verdicts) (found[grade] ??= []).push(pad);
  return found;
};
const verdictOn = ({ verdicts }: Guided, pad: number): PadVerdict =>
  verdicts.find((one) => one.pad === pad)!;

/** The unit of that name, but for one pad. */
const but =
  (pad: number, key: 'span' | 'sigma', value: number) =>
  (unit: ScreenUnit): ScreenUnit => ({
    ...unit,
    [key]: unit[key].map((one, i) => (i === pad ? value : one)),
  });

const others = (...pads: number[]): number[] =>
  order.filter((pad) => !pads.includes(pad)).sort((a, b) => a - b);

describe('the verdicts on the pads of a watched seat', () => {
  it.each(['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'drums-6'])(
    'calls every pad of a good %s good once it was touched',
    (name) => {
      const instrument = shipped(name);
      const one = guided(instrument);
      one.guides.watch(SEAT, one.seat);
      expect(one.guides.needs).toEqual([SEAT]);
      one.wait(2_500);
      const pads = printedOrder(instrument);
      expect(gradesOf(one)).toEqual({ unheard: [...pads].sort((a, b) => a - b) });
      for (const pad of pads) one.tap(pad);
      one.wait(2_500);
      expect(gradesOf(one)).toEqual({ good: [...pads].sort((a, b) => a - b) });
      for (const { pad, ratio, findings } of one.verdicts) {
        expect(findings).toEqual([]);
        // By the published definition, peak to peak being about five deviations (memory).
        const truth = (0.965 * one.unit.span[pad]!) / (5 * one.unit.sigma[pad]!);
        expect(ratio! / truth).toBeGreaterThan(0.7);
        expect(ratio! / truth).toBeLessThan(1.4);
      }
    },
  );

  it('names a dead pad, once nearly all others were touched', () => {
    const dead = order[5]!;
    const one = touchedThrough({ change: but(dead, 'span', 0) });
    expect(gradesOf(one)).toEqual({ good: others(dead), bad: [dead] });
    const [finding] = verdictOn(one, dead).findings;
    expect(finding?.what).toMatch(/^Dead\. Readings came, but no touch was seen on D2 fret 1/);
    expect(finding?.next).toMatch(/press on the joint/);
  });

  it('names the last pad too, but not while it may still be touched', () => {
    const dead = order.at(-1)!;
    const one = touchedThrough({ change: but(dead, 'span', 0) });
    expect(gradesOf(one)).toEqual({ good: others(dead), unheard: [dead] });
    one.wait(8_000);
    expect(gradesOf(one)).toEqual({ good: others(dead), bad: [dead] });
  });

  it('does not call dead what was only not touched yet', () => {
    const one = touchedThrough({}, order.slice(0, 12));
    expect(gradesOf(one)).toEqual({
      good: order.slice(0, 12).sort((a, b) => a - b),
      unheard: order.slice(12).sort((a, b) => a - b),
    });
  });

  it('calls heard what was touched, but never alone, and asks for a touch of it alone', () => {
    const [fret, pluck] = [2, 18];
    const one = touchedThrough(
      {},
      order.filter((pad) => pad !== fret),
    );
    one.press(fret, 0.9);
    one.wait(120);
    one.tap(pluck);
    one.release(fret);
    one.wait(8_000);
    expect(gradesOf(one)).toEqual({ good: others(fret), heard: [fret] });
    const [finding] = verdictOn(one, fret).findings;
    expect(finding?.what).toMatch(
      /^Not judged\. These were touched, but only while other pads were/,
    );
    expect(finding?.next).toMatch(/touch it once by itself/);
    one.tap(fret);
    one.wait(8_000);
    expect(gradesOf(one)).toEqual({ good: [...order].sort((a, b) => a - b) });
  });

  it('names a noisy pad, with its ratio', () => {
    const noisy = order[7]!;
    const one = touchedThrough({ change: but(noisy, 'sigma', 22) });
    expect(gradesOf(one)).toEqual({ good: others(noisy), bad: [noisy] });
    const { ratio, findings } = verdictOn(one, noisy);
    expect(ratio).toBeLessThan(5);
    expect(findings[0]?.what).toMatch(/^Noisy\. Its readings flicker too much .* D2 fret 3 \(\d/);
  });

  it('names a stuck pad, and one that is held', () => {
    const [stuck, held] = [order[2]!, order[11]!];
    const build = {
      wiring: order.map((_, i) => i),
      pads: guided(bass).unit.rest.map((rest) => ({ rest, span: 380, noise: 8, coupling: [] })),
    };
    const wire = (event: WireEvent): WireEvent => {
      if (event.type !== 'scan') return event;
      const raws = event.raws.map((raw, i) => (i === stuck ? 0 : i === held ? raw + 350 : raw));
      return { ...event, raws };
    };
    const one = touchedThrough({ build, wire }, others(stuck, held));
    // So long it is watched before it could be told from one that is only being played.
    one.wait(6_000);
    // Touched in another order than the printed one, which tells nothing of wires.
    expect(gradesOf(one)).toEqual({
      good: others(stuck, held),
      bad: [stuck, held].sort((a, b) => a - b),
    });
    expect(verdictOn(one, stuck).findings[0]?.what).toMatch(/^Stuck\./);
    expect(verdictOn(one, held).findings[0]?.what).toMatch(/^Held\./);
  });

  it('names two swapped pads, each with the other', () => {
    const [a, b] = [order[3]!, order[8]!];
    const swap = (pad: number | null): number | null => (pad === a ? b : pad === b ? a : pad);
    const build = { wiring: order.map((_, i) => swap(i)), pads: order.map(() => null) };
    const one = touchedThrough({ build });
    expect(gradesOf(one)).toEqual({ good: others(a, b), bad: [a, b].sort((x, y) => x - y) });
    expect(verdictOn(one, a).findings[0]?.what).toMatch(
      /^Swapped\. .*G2 fret 4 and D2 fret 4 answered for each other/,
    );
  });

  it('forgets what was before where the unit goes away, or its wiring is another one', () => {
    const dead = order[5]!;
    const one = touchedThrough({ change: but(dead, 'span', 0) });
    one.plug(false);
    one.wait(500);
    one.plug(true);
    one.wait(7_000);
    expect(gradesOf(one)['unheard']).toHaveLength(20);
    const wiring = order.map((_, i) => (i === 4 ? null : i));
    const pads = { ...one.seat.pads, build: { wiring, pads: order.map(() => null) } };
    one.guides.watch(SEAT, { ...one.seat, pads });
    one.wait(2_500);
    expect(verdictOn(one, 4).findings[0]?.what).toMatch(/^Dead\. No input is wired to/);
  });

  it('stays good while music is played: held frets, chords and long notes', () => {
    const instrument = shipped('pipe-8');
    if (instrument.kind !== 'holes') throw new Error('pipe-8 has no holes');
    const one = guided(instrument);
    one.guides.watch(SEAT, one.seat);
    one.wait(2_000);
    for (const pad of printedOrder(instrument)) one.tap(pad);
    for (let i = 0; i < 8; i++) {
      for (const { holes } of instrument.fingerings.slice(0, 5)) {
        const closed = instrument.holes.filter((_, k) => holes[k] === 'closed');
        for (const pad of closed) one.press(pad, 0.6);
        one.wait(100);
        one.tap(instrument.mouth!, 0.5, 500);
        for (const pad of closed) one.release(pad);
        one.wait(150);
      }
    }
    const bad = one.verdicts.filter(({ grade }) => grade === 'bad');
    expect(bad.map(({ name, findings }) => `${name}: ${findings[0]?.what ?? ''}`)).toEqual([]);
  });

  it('judges no more than once a second, and not at all where nothing can be judged', () => {
    const one = guided(bass);
    one.guides.watch(SEAT, one.seat);
    one.wait(1_000);
    const before = one.judged;
    for (let i = 0; i < 25; i++) one.tap(order[i % 20]!);
    expect(one.judged - before).toBeLessThanOrEqual(10);
    expect(one.judged - before).toBeGreaterThanOrEqual(6);
    one.guides.watch(SEAT, null);
    expect(one.guides.needs).toEqual([]);
    const decided = { ...one.seat, pads: { ...one.seat.pads, decided: true } };
    one.guides.watch(SEAT, decided);
    one.guides.watch(SEAT + 1, { ...one.seat, made: true });
    expect(one.guides.needs).toEqual([]);
  });

  it('works in short pieces, with pauses four times as long, all watched seats in turn', () => {
    let clock = 0;
    const scans: Scan[] = playedScans(bass, (player) => {
      for (const pad of order) player.tap(pad);
    });
    const judged: number[] = [];
    // Between two looks at the stopwatch there are always 10 ms of work.
    const guides = makeGuides(
      {
        guide: () => undefined,
        build: () => undefined,
        verdicts: (seat) => void judged.push(seat),
      },
      () => (clock += 10),
    );
    const seat = guided(bass).seat;
    for (const one of [0, 1, 2]) guides.watch(one, seat);
    for (const scan of scans) for (const one of [0, 1, 2]) guides.scan(one, scan);
    const end = scans.at(-1)!.t;
    for (let k = 0; k < 400; k++) {
      const before = clock;
      guides.wake(end + k * 10_000);
      // 8 ms are over after one piece of 10 ms; and there is the first look.
      expect(clock - before).toBeLessThanOrEqual(20);
    }
    // 10 ms of work in every 50 ms, and the first looks.
    expect(clock / 4_000).toBeLessThan(0.42);
    expect(judged.slice(0, 3)).toEqual([0, 1, 2]);
  });
});

describe('the verdicts on a unit that is being played as somebody begins to look', () => {
  it('do not call a pad held that was plucked a few times in the first seconds', () => {
    const one = guided(bass);
    one.wait(3_000);
    one.guides.watch(SEAT, one.seat);
    for (let pluck = 0; pluck < 8; pluck++) one.tap(17);
    one.wait(1_200);
    expect(verdictOn(one, 17).findings).toEqual([]);
    expect(gradesOf(one)['bad'] ?? []).toEqual([]);
  });
});
