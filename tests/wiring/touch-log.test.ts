import { describe, expect, it } from 'vitest';
import { logged } from '../../src/wiring/scan-log.js';
import { touchLog, type TouchLog } from '../../src/wiring/touch-log.js';
import { watchInputs } from '../../src/wiring/watch.js';
import { SECOND } from '../../src/time/micros.js';
import type { Scan, WireEvent } from '../../src/wire/scan.js';
import { shipped } from '../support/kinds.js';
import { FULL, screenPlayer, type ScreenPlayer } from '../support/screen-player.js';

const keys = shipped('keys-13');

interface Watched extends ScreenPlayer {
  readonly log: TouchLog;
  next(event: WireEvent): void;
}

function watched(most: number, lasts?: number, each = (scan: Scan): Scan[] => [scan]): Watched {
  const log = touchLog(most, lasts);
  const stage = logged(watchInputs({ pads: 13, full: FULL, decided: false }), log);
  let state: unknown = stage.begin();
  const next = (event: WireEvent): void => {
    state = stage.step(state, event).state;
  };
  const player = screenPlayer(keys, (scan) => each(scan).forEach(next));
  return {
    ...player,
    log,
    next,
    get now() {
      return player.now;
    },
  };
}

/** How many of the scans show a pad more than half touched. */
const touching = ({ unit }: ScreenPlayer, scans: readonly Scan[], pad: number): number =>
  scans.filter(({ raws }) => raws[pad]! - unit.rest[pad]! > unit.span[pad]! / 2).length;

describe('a log of touches', () => {
  it('keeps a touch of each pad and some rest, however long it goes on', () => {
    const one = watched(2);
    one.wait(1_000);
    for (let i = 0; i < 30; i++) for (const pad of [0, 3, 9]) one.tap(pad);
    const { scans } = one.log;
    // Two touches of 0.25 s and 0.6 s around them of each of three pads, and 4 s of rest: 250 scans a second.
    expect(scans.length).toBeLessThan(250 * (3 * 2 * 0.85 + 4));
    for (const pad of [0, 3, 9]) expect(touching(one, scans, pad)).toBeGreaterThan(60);
    expect(touching(one, scans, 5)).toBe(0);
    expect(scans.every(({ t }, i) => i === 0 || t > scans[i - 1]!.t)).toBe(true);
  });

  it('keeps the beginning and the end of a long touch, not all of it', () => {
    const one = watched(1);
    one.wait(1_000);
    one.tap(4, 0.7, 4_000);
    one.wait(500);
    expect(touching(one, one.log.scans, 4)).toBeGreaterThan(50);
    expect(touching(one, one.log.scans, 4)).toBeLessThan(70);
  });

  it('keeps nothing of two fingers at once, nor of what was forgotten or is long ago', () => {
    const one = watched(1, 30 * SECOND);
    one.wait(1_000);
    one.press(2, 0.7);
    one.press(8, 0.7);
    one.wait(200);
    one.release(2);
    one.release(8);
    one.wait(500);
    expect(touching(one, one.log.scans, 2)).toBe(0);
    one.tap(2);
    one.tap(8);
    one.wait(200);
    expect(touching(one, one.log.scans, 2)).toBeGreaterThan(30);
    one.log.forget(2);
    expect(touching(one, one.log.scans, 2)).toBe(0);
    expect(touching(one, one.log.scans, 8)).toBeGreaterThan(30);
    one.wait(60_000);
    expect(touching(one, one.log.scans, 8)).toBe(0);
    expect(one.log.scans.length).toBeGreaterThan(900);
  });

  it('says once that a touch has come in, and when the last one was', () => {
    const one = watched(1);
    one.wait(1_000);
    expect(one.log.fresh).toBe(false);
    expect(one.log.touchedLast).toBe(NaN);
    one.tap(2);
    one.wait(400);
    expect(one.log.fresh).toBe(true);
    expect(one.log.fresh).toBe(false);
    expect(one.now - one.log.touchedLast).toBeLessThan(0.6 * SECOND);
    expect(one.now - one.log.touchedLast).toBeGreaterThan(0.4 * SECOND);
  });

  it('leaves readings out that come more often than they tell anything', () => {
    const one = watched(1, Infinity, (scan) =>
      [0, 1_000, 2_000, 3_000].map((later) => ({ ...scan, t: scan.t + later })),
    );
    one.wait(3_000);
    const { scans } = one.log;
    expect(scans.length).toBeLessThanOrEqual(1_000);
    const steps = scans.slice(1).map(({ t }, i) => t - scans[i]!.t);
    expect(Math.min(...steps)).toBe(4_000);
  });
});
