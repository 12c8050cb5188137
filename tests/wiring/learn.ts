import { chain } from '../../src/time/chain.js';
import { NEVER, SECOND } from '../../src/time/micros.js';
import { wiringFrom } from '../../src/wiring/build.js';
import { learnWiring } from '../../src/wiring/wiring.js';
import type { WireKind } from '../../src/wiring/kind.js';
import type { WireNotice, WirePlan } from '../../src/wiring/notice.js';
import { watchInputs, type WireKey } from '../../src/wiring/watch.js';
import type { WireEvent } from '../../src/wire/scan.js';
import { runStage } from '../support/run-stage.js';

/** A 14-bit board of 20 pads, asked in the order of their numbers. */
export const BOARD: WireKind = { pads: 20, full: 16_383, decided: false };
export const LIVE: WirePlan = {
  order: Array.from({ length: 20 }, (_, pad) => pad),
  grace: 3 * SECOND,
  anyHold: false,
  reminders: true,
};
export const TAKE: WirePlan = { ...LIVE, grace: NEVER, anyHold: true, reminders: false };

export interface Learned {
  readonly notices: readonly WireNotice[];
  /** Null where it ended without. */
  readonly wiring: readonly (number | null)[] | null;
  /** Notices without times, briefly: `wired 3 on 7`. */
  readonly told: readonly string[];
}

/** Runs readings and keys through both stages. `until`: how long after the last of them to go on. */
export function learn(
  events: readonly (WireEvent | WireKey)[],
  plan: WirePlan = LIVE,
  kind: WireKind = BOARD,
  until = 4 * SECOND,
): Learned {
  const sorted = [...events].sort((a, b) => a.t - b.t);
  const way = chain('wire', watchInputs(kind), learnWiring(plan));
  const end = (sorted.at(-1)?.t ?? 0) + until;
  const quit: WireKey = { type: 'key', t: end, key: 'quit' };
  const notices = runStage<WireEvent | WireKey, WireNotice>(way, [...sorted, quit], end);
  const highest = sorted.reduce(
    (most, event) => (event.type === 'scan' ? Math.max(most, ...event.inputs) : most),
    -1,
  );
  const last = notices.find(({ type }) => type === 'kept');
  return {
    notices,
    wiring: last?.type === 'kept' ? wiringFrom(last.answers, highest) : null,
    told: notices.map(brief),
  };
}

function brief(notice: WireNotice): string {
  switch (notice.type) {
    case 'wired':
    case 'already':
      return `${notice.type} ${String(notice.pad)} on ${String(notice.input)}`;
    case 'skipped':
      return `skipped ${String(notice.pad)}`;
    case 'back':
      return `back ${String(notice.answer?.pad)}`;
    case 'dropped':
    case 'spare':
    case 'stuck':
      return `${notice.type} ${String(notice.input)}`;
    case 'unclear':
      return `unclear ${[...notice.inputs].sort((a, b) => a - b).join(' ')}`;
    default:
      return notice.type;
  }
}
