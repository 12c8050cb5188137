import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { PageSeat } from '../../link/state.js';
import type { Connection } from '../connection.js';
import { polite } from '../parts/announce.js';
import { texts } from '../texts/texts.js';
import type { Texts } from '../texts/en.js';

/** Has it said which seats come and go, and which get another instrument. */
export function useComings({ state }: Connection): void {
  useEffect(() => {
    let before: readonly PageSeat[] | null = null;
    return effect(() => {
      const now = state.seats.value;
      if (before && now) {
        for (const words of comings(before, now, texts.peek().shell)) polite.say(words);
      }
      before = now ?? before;
    });
  }, [state]);
}

/** What is to be said of seats that came, left or got another instrument. */
export function comings(
  before: readonly PageSeat[],
  now: readonly PageSeat[],
  words: Pick<Texts['shell'], 'seatLeft' | 'seatCame' | 'seatRefitted'>,
): string[] {
  const byName = (seats: readonly PageSeat[]) => new Map(seats.map((seat) => [seat.name, seat]));
  const [was, is] = [byName(before), byName(now)];
  const left = before.filter(({ name }) => !is.has(name)).map(({ name }) => words.seatLeft(name));
  const others = now.flatMap(({ name, slice, instrument }) => {
    const own = was.get(name);
    if (!own) return [words.seatCame(name)];
    return own.slice === slice ? [] : [words.seatRefitted(name, instrument.name)];
  });
  return [...left, ...others];
}
