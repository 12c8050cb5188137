import { printedOrder } from '../../src/instrument/instrument-pads.js';
import type { Instrument } from '../../src/instrument/types.js';
import { SCAN_EVERY } from '../../src/demo/gestures.js';
import { screenHand, screenUnit, type ScreenUnit } from '../../src/demo/screen-unit.js';
import type { UnitMaking } from '../../src/demo/screen-unit.js';
import { MILLISECOND, SECOND, type Micros } from '../../src/time/micros.js';
import type { Scan } from '../../src/wire/scan.js';

export const FULL = 16_383;

/** Somebody who plays a made-up unit, and hands every reading on as it comes. */
export interface ScreenPlayer {
  readonly unit: ScreenUnit;
  readonly now: Micros;
  wait(ms: number): void;
  press(pad: number, strength: number): void;
  release(pad: number): void;
  /** Presses, holds for a while, lets go, and waits for a moment. */
  tap(pad: number, strength?: number, holdMs?: number): void;
}

export function screenPlayer(
  instrument: Instrument,
  heard: (scan: Scan) => void,
  { name = 'north', change = (unit: ScreenUnit) => unit, ...making }: Making = {},
): ScreenPlayer {
  const order = printedOrder(instrument);
  const usual = { built: 'carefully', wires: 'straight' } as const;
  const unit = change(screenUnit(name, order, FULL, { ...usual, ...making }));
  const hand = screenHand(unit, name);
  let due: Micros = 0;
  let now: Micros = 0;

  const player: ScreenPlayer = {
    unit,
    get now() {
      return now;
    },
    wait(ms) {
      now += Math.round(ms * MILLISECOND);
      for (; due <= now; due += SCAN_EVERY) heard(hand.scan(due));
    },
    press(pad, strength) {
      hand.press(now, pad, strength);
    },
    release(pad) {
      hand.release(now, pad);
    },
    tap(pad, strength = 0.7, holdMs = 180) {
      player.press(pad, strength);
      player.wait(holdMs);
      player.release(pad);
      player.wait(220);
    },
  };
  return player;
}

export interface Making extends Partial<UnitMaking> {
  readonly name?: string;
  /** What is different from the unit of that name. */
  readonly change?: (unit: ScreenUnit) => ScreenUnit;
}

/** All readings of one who first lets go for a second and then does what is said. */
export function playedScans(
  instrument: Instrument,
  play: (player: ScreenPlayer) => void,
  making: Making = {},
): Scan[] {
  const scans: Scan[] = [];
  const player = screenPlayer(instrument, (scan) => scans.push(scan), making);
  player.wait(SECOND / MILLISECOND);
  play(player);
  player.wait(300);
  return scans;
}
