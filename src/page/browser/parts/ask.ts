import { signal } from '@preact/signals';
import type { Ask } from '../../link/asks.js';
import type { Connection } from '../connection.js';
import { urgent } from './announce.js';

/** Why what was asked last was refused, in the service's words; null: it was not. */
export const refused = signal<string | null>(null);

/** Asks for something; where it is refused, the page says why until something is done or it is closed. */
export async function ask(connection: Connection, wish: Ask): Promise<void> {
  const why = await connection.ask(wish);
  if (why !== null && why !== refused.peek()) urgent.say(why);
  refused.value = why;
}
