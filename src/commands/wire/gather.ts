import type { WireKind } from '../../wiring/kind.js';
import { GRACE, type WirePlan } from '../../wiring/notice.js';
import type { OpenSeat } from '../../ports/files/seat.js';
import { liveClock } from '../../ports/live-clock.js';
import { fileProblems } from '../../ports/takes/problems.js';
import { ReadingLimit } from '../../takes/limits.js';
import type { Take } from '../../takes/read.js';
import { virtualClock } from '../../time/clock.js';
import { NEVER, SECOND, type Micros } from '../../time/micros.js';
import type { Call } from '../cli.js';
import { listen } from '../listening.js';
import { openKeys } from './keys.js';
import { wireSession, type WireSession } from '../../wiring/session.js';
import { wireWords, type WireTalk } from '../../wiring/words.js';

/** What is asked for, and what it is called. */
export interface WireTask {
  readonly kind: WireKind;
  readonly order: readonly number[];
  readonly names: readonly string[];
}

const HOLD_HELP = 'To take a mistake back, touch the last pad again and hold it for 2 s';
const KEYS_HELP = `Keys: u takes back, s skips a dead pad, q stops. ${HOLD_HELP}, or press u`;

/** Asks for one pad after the other until all have their input, or the person or the unit stops. */
export async function wireLive(
  seat: OpenSeat,
  { kind, order, names }: WireTask,
  longest: Micros,
  call: Call,
): Promise<WireSession> {
  const { name } = seat.ready.seat;
  const keys = call.watched && process.stdin.isTTY;
  const talk: WireTalk = { names, by: keys ? 'keys' : 'touches', live: true };
  const plan: WirePlan = { order, grace: GRACE, anyHold: false, reminders: true };
  const clock = liveClock();
  let stop: () => void = () => undefined;
  const session = wireSession(kind, plan, clock, (notice) => {
    const words = wireWords(notice, talk);
    if (words) call.tell(words);
    else stop();
  });
  let offset: Micros | null = null;
  const listening = listen(seat, call, longest, (event) => {
    // Its times count from its first event; ours go on while it is silent.
    offset ??= clock.stamp() - event.t;
    session.next({ ...event, t: clock.stamp(offset + event.t) });
  });
  stop = listening.stop;
  const press = (key: 'skip' | 'back' | 'quit'): void => {
    session.next({ type: 'key', t: clock.stamp(), key });
  };
  call.tell({
    level: 'info',
    what: `Let go of all pads of ${name}`,
    next: keys ? KEYS_HELP : HOLD_HELP,
  });
  const closeKeys = keys ? openKeys(process.stdin, press) : null;
  session.next({ type: 'scan', t: clock.stamp(), inputs: [], raws: [] });
  try {
    await listening.ended;
  } finally {
    closeKeys?.();
  }
  press('quit');
  return session;
}

/** Takes a take's touches for the pads in their order. */
export async function wireTake(
  path: string,
  take: Take,
  { kind, order, names }: WireTask,
  call: Call,
): Promise<WireSession> {
  const talk: WireTalk = { names, by: 'touches', live: false };
  const plan: WirePlan = { order, grace: NEVER, anyHold: true, reminders: false };
  let from = 0;
  const session = wireSession(kind, plan, virtualClock(), (notice) => {
    const words = wireWords(notice, talk);
    if (words && notice.type !== 'ask') call.tell({ ...words, where: momentOf(notice.t, from) });
  });
  let last = 0;
  let first = true;
  const problems = fileProblems(path, call.tell);
  const limit = new ReadingLimit('learning a wiring');
  for await (const batch of take.events(problems.report)) {
    for (const event of batch) {
      if (first) from = event.t;
      first = false;
      last = event.t;
      limit.hold(event);
      session.next(event);
    }
  }
  problems.done();
  // A touch that ends with the take is over a little later.
  session.next({ type: 'key', t: last + SECOND, key: 'quit' });
  return session;
}

function momentOf(t: Micros, from: Micros): string {
  return `${((t - from) / SECOND).toFixed(1)} s`;
}
