import type { FromPageThread } from './messages.js';

export const PULSE_MS = 1_000;

/**
 * For the page's thread: says again and again that it still goes on.
 *
 * @returns ends it
 */
export function pulse(post: (message: FromPageThread) => void): () => void {
  const alive = (): void => {
    post({ type: 'alive' });
  };
  alive();
  const timer = setInterval(alive, PULSE_MS).unref();
  return () => {
    clearInterval(timer);
  };
}
