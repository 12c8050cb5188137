import { useSignal, type Signal } from '@preact/signals';
import type { Ask } from '../../link/asks.js';
import type { Connection } from '../connection.js';
import { texts } from '../texts/texts.js';

export interface Asking {
  /** Resolves to null once it is done, or to why not. */
  readonly ask: (wish: Ask) => Promise<string | null>;
  /** Why the last one was not done. */
  readonly refused: Signal<string | null>;
}

/** Asks, and keeps why the last wish was refused for whoever shows it. */
export function useAsking(connection: Connection): Asking {
  const refused = useSignal<string | null>(null);
  return {
    refused,
    ask: async (wish) => {
      refused.value = null;
      const why = await connection.ask(wish);
      refused.value = why;
      return why;
    },
  };
}

/** Why something was not done, read out at once. It is there before there are words, to be heard. */
export function Refused({ asking, id }: { readonly asking: Asking; readonly id?: string }) {
  const why = asking.refused.value;
  // The service's own words are English.
  const own = why === texts.value.shell.notAsked;
  return (
    <div class="seat-refused" role="alert" id={id}>
      {why === null ? null : own ? <p>{why}</p> : <p lang="en">{why}</p>}
    </div>
  );
}
