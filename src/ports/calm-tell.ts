import { Budget } from '../time/budget.js';
import type { Notice, Tell } from './contracts.js';
import { nodeTimers, type Timers } from './live-clock.js';
import { repeats } from './repeats.js';

/** The same warning is said again so long after at the earliest, with how often it came meanwhile. */
const PAUSE_MS = 10_000;
/** However different they are: nobody reads more, and they would push all else off the screen. */
const MOST = { perSecond: 1, burst: 40 };

/**
 * For what strangers in a network can have said: warnings that repeat are counted instead, and of many different
 * messages only so many are passed on. What is left out is counted and said as well.
 */
export function calmTell(tell: Tell, timers: Pick<Timers, 'now'> = nodeTimers): Tell {
  const due = repeats(PAUSE_MS);
  const budget = new Budget(MOST, timers.now());
  let leftOut = 0;

  return (notice) => {
    const now = timers.now();
    const count = notice.level === 'info' ? 1 : due(`${notice.what}\n${notice.where ?? ''}`, now);
    if (count === 0) return;
    if (!budget.take(now)) {
      leftOut += count;
      return;
    }
    if (leftOut > 0) tell(leftOutNotice(leftOut, notice));
    leftOut = 0;
    const times = count === 2 ? 'once more' : `${String(count - 1)} times more`;
    tell(count === 1 ? notice : { ...notice, what: `${notice.what} (came ${times} meanwhile)` });
  };
}

function leftOutNotice(count: number, { where }: Notice): Notice {
  return {
    level: 'info',
    what: `${count === 1 ? '1 message was' : `${String(count)} messages were`} left out, since so many came at once`,
    ...(where !== undefined && { where }),
  };
}
