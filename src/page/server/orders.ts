import type { Order } from '../host/carry-out.js';
import type { FromPageThread } from '../host/messages.js';

/** What is done with an answer: null, or words that say why not. */
export type Answered = (refused: string | null) => void;

/** Asks the playing thread, and hands its answers to whoever asked. */
export class Orders {
  readonly #send: (message: FromPageThread) => void;
  readonly #waiting = new Map<number, Answered>();
  #id = 0;

  constructor(send: (message: FromPageThread) => void) {
    this.#send = send;
  }

  give(order: Order, answered: Answered = () => undefined): void {
    this.#id += 1;
    this.#waiting.set(this.#id, answered);
    this.#send({ type: 'order', id: this.#id, order });
  }

  answer(id: number, refused: string | null): void {
    const answered = this.#waiting.get(id);
    this.#waiting.delete(id);
    answered?.(refused);
  }
}
