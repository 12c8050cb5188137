/** Of a player's plucks that had no fret ready, this many weigh about as much as the newest. */
const MEMORY = 6;
/** From this share of late frets on, plucks wait: one late fret makes the next three wait. */
const OFTEN = 0.1;

/** How often a player's frets come a little after their pluck. */
export interface Lateness {
  share: number;
}

export function newLateness(): Lateness {
  return { share: 0 };
}

/** A pluck that had no fret ready turned out to be late, or not. */
export function learnLateness(lateness: Lateness, late: boolean): void {
  lateness.share += ((late ? 1 : 0) - lateness.share) / MEMORY;
}

export function isOftenLate({ share }: Lateness): boolean {
  return share >= OFTEN;
}
