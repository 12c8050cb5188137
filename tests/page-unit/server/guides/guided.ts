import type { Build, Instrument } from '../../../../src/instrument/types.js';
import { printedOrder } from '../../../../src/instrument/instrument-pads.js';
import type { PadVerdict, PageGuide } from '../../../../src/page/link/state.js';
import type {
  GuidedSeat,
  GuideKind,
  Guides,
  GuidesOut,
} from '../../../../src/page/server/guides/guides.js';
import { makeGuides } from '../../../../src/page/server/guides/make-guides.js';
import type { WireEvent } from '../../../../src/wire/scan.js';
import {
  FULL,
  screenPlayer,
  type Making,
  type ScreenPlayer,
} from '../../../support/screen-player.js';

/** Somebody at a made-up unit that is guided and watched, and all that comes out. */
export interface Guided extends ScreenPlayer {
  readonly guides: Guides;
  readonly instrument: Instrument;
  /** What the page shows now; null: no guide. */
  readonly shown: PageGuide | null;
  /** All words that were shown. */
  readonly words: readonly string[];
  readonly builds: readonly Build[];
  readonly verdicts: readonly PadVerdict[];
  /** How often verdicts came. */
  readonly judged: number;
  readonly seat: GuidedSeat;
  begin(kind: GuideKind): string | null;
  do(step: 'undo' | 'skip' | 'keep' | 'end'): string | null;
  /** Pulled out, it reports nothing, and time passes without readings. */
  plug(plugged: boolean): void;
}

export const SEAT = 3;

export interface GuidedMaking extends Making {
  readonly build?: Build | null;
  readonly seat?: Partial<GuidedSeat>;
  /** What else the wire brings, instead of each reading. */
  readonly wire?: (event: WireEvent) => WireEvent;
}

export function guided(instrument: Instrument, making: GuidedMaking = {}): Guided {
  let shown: PageGuide | null = null;
  let verdicts: readonly PadVerdict[] = [];
  let judged = 0;
  let plugged = true;
  let woken = 0;
  const words: string[] = [];
  const builds: Build[] = [];
  const out: GuidesOut = {
    guide: (now) => {
      shown = now;
      if (now && words.at(-1) !== now.words) words.push(now.words);
    },
    build: (_, build) => void builds.push(build),
    verdicts: (_, pads) => {
      verdicts = pads;
      judged += 1;
    },
  };
  // However slow the machine is, the work takes no time here.
  const guides = makeGuides(out, () => 0);
  const pads = printedOrder(instrument).length;
  const seat: GuidedSeat = {
    instrument,
    pads: { pads, build: making.build ?? null, full: FULL, decided: false },
    ...making.seat,
  };
  const { wire = (event) => event } = making;
  const player = screenPlayer(
    instrument,
    (scan) => {
      if (plugged) guides.scan(SEAT, wire(scan));
      if (scan.t - woken < 50_000) return;
      woken = scan.t;
      guides.wake(scan.t);
    },
    making,
  );
  return {
    ...player,
    guides,
    instrument,
    words,
    builds,
    seat,
    get now() {
      return player.now;
    },
    get shown() {
      return shown;
    },
    get verdicts() {
      return verdicts;
    },
    get judged() {
      return judged;
    },
    begin: (kind) => guides.begin(SEAT, kind, seat, player.now),
    do: (step) => guides.do(SEAT, step, player.now),
    plug(now) {
      if (plugged && !now) guides.scan(SEAT, { type: 'reset', t: player.now, why: 'lost' });
      plugged = now;
    },
  };
}
