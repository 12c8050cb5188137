import type { OwnCode } from '../../instrument/types.js';
import type { LogicEvent, Setup } from '../../playing/own-logic-contract.js';
import { LogicFault, type Logic, type LogicRun } from '../../playing/own-logic-run.js';
import { Budget } from '../../time/budget.js';
import { ENDLESS, thrownFault } from './faults.js';
import type { Ask, Told } from './shared.js';
import { LogicThread, NoAnswer, type Patience } from './thread.js';
import { printable } from '../printable.js';

/** So many threads are kept for whoever plays next; each takes some ten megabytes. */
const MOST_IDLE = 32;

/** Threads that nobody plays by, the one that was used last at the end. */
const idle: LogicThread[] = [];

/** Keeps a thread for whoever plays by the same module next. */
export function keep(thread: LogicThread): void {
  if (!thread.alive) return;
  idle.push(thread);
  if (idle.length > MOST_IDLE) idle.shift()?.end();
}

/** A thread that is kept and has this module in it, if there is one. */
export function kept(code: string): LogicThread | undefined {
  for (let i = idle.length - 1; i >= 0; i--) {
    const thread = idle[i]!;
    if (thread.code !== code && thread.alive) continue;
    idle.splice(i, 1);
    if (thread.alive) return thread;
  }
  return undefined;
}

/** How many threads are kept that have this module in them. */
export function keptCount(code: string): number {
  return idle.filter((thread) => thread.code === code && thread.alive).length;
}

/** Ends the kept threads whose module is no longer used. */
export function drop(isOld: (code: string) => boolean): void {
  for (const thread of idle.splice(0)) {
    if (isOld(thread.code)) thread.end();
    else idle.push(thread);
  }
}

/** Hears what modules say with `console.log`: their file, and a line. */
export type OnSaid = (file: string, line: string) => void;

/** What all modules may say together; one that prints at each reading would push all else off the screen. */
const SAID = { perSecond: 20, burst: 200 };
const budget = new Budget(SAID, performance.now());
let leftOut = 0;

const SAY: OnSaid = (file, line) => {
  if (!budget.take(performance.now())) {
    leftOut += 1;
    return;
  }
  if (leftOut > 0) process.stderr.write(`${String(leftOut)} lines of own logic were left out.\n`);
  leftOut = 0;
  process.stderr.write(`${printable(`${file}: ${line}`)}\n`);
};

/**
 * Makes modules of somebody's own play, each seat's in a thread of its own, so that none hears of
 * another's faults.
 */
export function logicsWith(patience: Patience, said: OnSaid = SAY): (own: OwnCode) => Logic {
  return (own) => ({
    file: own.file,
    begin: (setup) => new Run(own, setup, patience, said),
  });
}

class Run implements LogicRun {
  readonly #thread: LogicThread;
  #known: Setup;
  #ended = false;

  constructor(
    readonly own: OwnCode,
    setup: Setup,
    readonly patience: Patience,
    readonly said: OnSaid,
  ) {
    const code = own.code ?? '';
    const found = kept(code);
    this.#thread = found ?? new LogicThread(code);
    this.#known = setup;
    try {
      if (!found) this.#heard(() => this.#thread.now());
      this.#ask({ ask: 'begin', setup });
    } catch (error) {
      this.end();
      throw error;
    }
  }

  again(setup: Setup): void {
    this.#known = setup;
    this.#ask({ ask: 'again', setup });
  }

  step(event: LogicEvent, setup: Setup): unknown {
    const isNew = setup !== this.#known;
    this.#known = setup;
    return this.#ask({ ask: 'step', event, ...(isNew ? { setup } : {}) });
  }

  end(): void {
    if (!this.#ended) keep(this.#thread);
    this.#ended = true;
  }

  #ask(ask: Ask): unknown {
    return this.#heard(() => this.#thread.ask(ask, this.patience));
  }

  #heard(work: () => Told): unknown {
    let told: Told;
    try {
      told = work();
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      throw new LogicFault(error.message, this.own.file, ENDLESS);
    }
    for (const line of told.said ?? []) this.said(this.own.file, line);
    if (told.thrown) throw thrownFault(told.thrown, this.own);
    return told.answer;
  }
}
