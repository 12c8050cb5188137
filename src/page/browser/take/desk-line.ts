import { DeskFault, faultOf } from './desk/faults.js';
import type { AskName, Asks, FromWorker, Progress, ToWorker } from './desk/messages.js';

/** What of a worker is used. */
export interface DeskThread {
  onmessage: ((event: { readonly data: FromWorker }) => void) | null;
  onerror: ((event: { readonly message: string; preventDefault(): void }) => void) | null;
  postMessage(message: ToWorker): void;
  terminate(): void;
}

/** The way to the thread that runs takes. */
export interface DeskLine {
  /**
   * Asks for something; what was asked first is answered first.
   *
   * @throws DeskFault
   */
  ask<Name extends AskName>(
    name: Name,
    ask: Asks[Name]['ask'],
    tell?: (progress: Progress) => void,
  ): Promise<Asks[Name]['answer']>;
  end(): void;
}

interface Waiting {
  readonly tell: (progress: Progress) => void;
  readonly done: (answer: never) => void;
  readonly failed: (fault: DeskFault) => void;
}

/**
 * Begins the thread that runs takes.
 *
 * @param base where the page is
 */
export function openDesk(thread: DeskThread, base: string): DeskLine {
  const waiting = new Map<number, Waiting>();
  let id = 0;

  thread.onmessage = ({ data }) => {
    const one = waiting.get(data.id);
    if (!one) return;
    if ('progress' in data) {
      one.tell(data.progress);
      return;
    }
    waiting.delete(data.id);
    if ('fault' in data) one.failed(new DeskFault(data.fault));
    else one.done(data.answer as never);
  };
  thread.onerror = (event) => {
    event.preventDefault();
    const fault = new DeskFault(faultOf(event.message));
    for (const one of waiting.values()) one.failed(fault);
    waiting.clear();
  };
  thread.postMessage({ base });

  return {
    ask: (name, ask, tell = () => undefined) =>
      new Promise((done, failed) => {
        const own = id++;
        waiting.set(own, { tell, done, failed });
        thread.postMessage({ id: own, name, ask } as ToWorker);
      }),
    end: () => {
      thread.terminate();
      waiting.clear();
    },
  };
}
