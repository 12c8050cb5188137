import type { Order } from '../../../src/page/host/carry-out.js';
import type {
  FromPageThread,
  PageThreadData,
  ToPageThread,
} from '../../../src/page/host/messages.js';
import type { PageThread } from '../../../src/page/host/thread.js';

/** A page's thread that says only what a test has it say. */
export class FakeThread implements PageThread {
  readonly heard: ToPageThread[] = [];
  refs = 0;
  ended = false;
  #listeners: { [event: string]: ((value: never) => void)[] } = {};
  #id = 0;

  constructor(readonly data: PageThreadData) {}

  on(event: string, listener: (value: never) => void): void {
    (this.#listeners[event] ??= []).push(listener);
  }

  postMessage(message: ToPageThread): void {
    // As between threads: what cannot be sent fails here, and what is sent is a copy.
    this.heard.push(structuredClone(message));
  }

  terminate(): Promise<void> {
    this.exit();
    return Promise.resolve();
  }

  ref(): void {
    this.refs += 1;
  }

  unref(): void {
    this.refs -= 1;
  }

  say(message: FromPageThread): void {
    this.#call('message', message);
  }

  /** Gives an order, and returns the number that its answer will have. */
  order(order: Order): number {
    this.#id += 1;
    this.say({ type: 'order', id: this.#id, order });
    return this.#id;
  }

  /** The answer to an order; undefined while there is none. */
  answer(id: number): string | null | undefined {
    const found = this.heard.find((one) => one.type === 'answer' && one.id === id);
    return found?.type === 'answer' ? found.refused : undefined;
  }

  exit(error?: Error): void {
    if (this.ended) return;
    this.ended = true;
    if (error) this.#call('error', error);
    this.#call('exit', undefined);
  }

  #call(event: string, value: unknown): void {
    for (const listener of this.#listeners[event] ?? []) listener(value as never);
  }
}
