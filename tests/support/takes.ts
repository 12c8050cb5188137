import { openTake, type Batches } from '../../src/takes/read.js';
import type { TakeProblem } from '../../src/takes/take.js';
import type { WireEvent } from '../../src/wire/scan.js';

/** All of a take at once. */
export async function allOf<Event>(batches: Batches<Event>): Promise<Event[]> {
  const all: Event[] = [];
  for await (const batch of batches) all.push(...batch);
  return all;
}

/** The other way round: what is at hand, as a take gives it. */
export async function* atOnce<Event>(
  events: readonly Event[],
): AsyncGenerator<readonly Event[], void> {
  yield await Promise.resolve(events);
}

/** What the text of a take holds. */
export async function eventsIn(
  text: string,
  report: (problem: TakeProblem) => void = () => undefined,
): Promise<WireEvent[]> {
  return allOf((await openTake(text)).events(report));
}
