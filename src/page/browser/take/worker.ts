import * as z from 'zod';
import { Desk } from './desk/desk.js';
import { faultOf } from './desk/faults.js';
import { serviceAt } from './desk/fetching.js';
import type { Asks, AskName, FromWorker, Progress, ToWorker } from './desk/messages.js';

/*
 * The take view's thread: it runs takes, so that neither the page nor the service is held up. One thing
 * is done after the other, in the order in which it was asked.
 */

/** As much of a dedicated worker's scope as is used: the DOM's types know only a window. */
interface Scope {
  onmessage: ((event: MessageEvent<ToWorker>) => void) | null;
  postMessage(message: FromWorker): void;
}

// Otherwise zod tries whether it may make functions of text, which the page's policy forbids.
z.config({ jitless: true });

const scope = globalThis as unknown as Scope;
let desk: Desk | null = null;
let last: Promise<void> = Promise.resolve();

scope.onmessage = ({ data }) => {
  if ('base' in data) {
    desk = new Desk(serviceAt(data.base));
    return;
  }
  last = last.then(() => answer(data));
};

async function answer(asked: Exclude<ToWorker, { base: string }>): Promise<void> {
  const { id } = asked;
  try {
    if (!desk) throw new Error('asked before the service is known');
    const found = await done(desk, asked, (progress) => scope.postMessage({ id, progress }));
    scope.postMessage({ id, answer: found });
  } catch (error) {
    scope.postMessage({ id, fault: faultOf(error) });
  }
}

function done(
  at: Desk,
  asked: Exclude<ToWorker, { base: string }>,
  tell: (progress: Progress) => void,
): Promise<Asks[AskName]['answer']> {
  switch (asked.name) {
    case 'open':
      return at.open(asked.ask, tell);
    case 'wanted':
      return at.setWanted(asked.ask);
    case 'compare':
      return at.compare(asked.ask, tell);
    case 'explain':
      return at.explain(asked.ask, tell);
  }
}
