/*
 * How a seat and the thread of its own logic speak: one piece of shared memory, written by turns. The
 * seat waits for the answer, since a touch is played before the next one is looked at; that a take run
 * again on virtual time gives the same notes depends on it. A message through a port takes twice as long.
 */

/** What is asked of a thread. */
export type Ask =
  /** Load the module afresh, and begin. */
  | { readonly ask: 'begin'; readonly setup: unknown }
  /** Begin again. */
  | { readonly ask: 'again'; readonly setup: unknown }
  /** `setup` is left out where it is the one from before. */
  | { readonly ask: 'step'; readonly event: unknown; readonly setup?: unknown }
  /** Nothing; for getting warm. */
  | { readonly ask: 'nothing'; readonly event: unknown };

/** What a thread answers. */
export interface Told {
  /** What its step answered. */
  readonly answer?: unknown;
  /** What was thrown. */
  readonly thrown?: Thrown;
  /** Lines that it wrote with `console.log`. */
  readonly said?: readonly string[];
}

export interface Thrown {
  readonly message: string;
  readonly stack: string;
}

/** What a thread is started with. */
export interface ThreadData {
  readonly shared: SharedArrayBuffer;
  /** A script whose value is what the module exports. */
  readonly code: string;
}

/** What stack traces call the code. */
export const CODE_FILE = 'own-logic.js';

export const SEAT = 0;
export const THREAD = 1;

const HEAD = 8;
/** More than the largest instrument and the longest answer; the system gives only what is used. */
const SIZE = 1_000_000;

/** One end of the shared memory. */
export class Shared {
  /** `[0]` is whose turn it is, `[1]` how many bytes it was left. */
  readonly #head: Int32Array;
  readonly #bytes: Buffer;

  constructor(readonly memory = new SharedArrayBuffer(HEAD + SIZE)) {
    this.#head = new Int32Array(memory, 0, 2);
    this.#bytes = Buffer.from(memory, HEAD);
  }

  get turn(): number {
    return Atomics.load(this.#head, 0);
  }

  /** Leaves a message and gives the turn away; false where it is too long, and nothing is done. */
  give(to: number, text: string): boolean {
    // A UTF-16 unit takes three bytes at most.
    if (text.length * 3 > SIZE && Buffer.byteLength(text) > SIZE) return false;
    Atomics.store(this.#head, 1, this.#bytes.write(text));
    Atomics.store(this.#head, 0, to);
    Atomics.notify(this.#head, 0);
    return true;
  }

  /** Waits until it is no longer the turn of `whose`, at most `ms`; whether that came. */
  wait(whose: number, ms?: number): boolean {
    return Atomics.wait(this.#head, 0, whose, ms) !== 'timed-out';
  }

  text(): string {
    return this.#bytes.toString('utf8', 0, Atomics.load(this.#head, 1));
  }
}
