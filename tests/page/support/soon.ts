import { expect } from 'vitest';

/** What comes to be within some seconds, also on a machine that is busy: the last value that was read must fit. */
export const soon = <Value>(read: () => Value) => expect.poll(read, { timeout: 20_000 });
