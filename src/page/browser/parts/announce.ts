import { signal, type ReadonlySignal } from '@preact/signals';
import { later, type Later } from './wish.js';

/** What a screen reader is to say, and how many more there were that it is not to say one by one. */
export interface Announced {
  readonly words: string;
  readonly more: number;
  /** Counts up, so that the same words are said again. */
  readonly number: number;
}

/** Says things one after the other, not more often than people can listen. */
export interface Announcer {
  readonly said: ReadonlySignal<Announced>;
  say(words: string): void;
}

/**
 * The first is said at once; of those that come within `every` ms after it, the last is said then, with
 * how many there were beside it.
 */
export function announcer(every: number, wait: Later = later): Announcer {
  const said = signal<Announced>({ words: '', more: 0, number: 0 });
  let waiting: string[] = [];
  let resting = true;
  const next = (): void => {
    const words = waiting.at(-1);
    if (words === undefined || !resting) return;
    const more = waiting.length - 1;
    waiting = [];
    resting = false;
    said.value = { words, more, number: said.peek().number + 1 };
    wait(every, () => {
      resting = true;
      next();
    });
  };
  return {
    said,
    say(words) {
      waiting.push(words);
      next();
    },
  };
}

/** Says what may wait, and what may not. */
export const polite = announcer(4_000);
export const urgent = announcer(4_000);
