import { SECOND, type Micros } from '../../time/micros.js';
import type { Attended, SeatNews } from './attended-seat.js';
import type { Notice } from '../contracts.js';

type Words = (seats: readonly Attended[]) => Notice;

const where = (seats: readonly Attended[]): { where: string } => ({
  where: `${seats.length === 1 ? 'seat' : 'seats'} ${seats.map(({ of }) => of.name).join(', ')}`,
});

/** What people are told of seats, all those of one look together. */
export const NEWS_WORDS: Readonly<Record<SeatNews, Words>> = {
  silent: (seats) => {
    const [only, another] = seats;
    // Where nothing is played, as in `record`, there is nothing that could have sounded.
    const ended = seats.some(({ of }) => of.played) ? ': what was still sounding was ended' : '';
    const again = !another && only!.times > 1 ? ' once more' : '';
    return {
      level: 'warn',
      what: another
        ? `Nothing comes from their boards any more${ended}`
        : `Nothing comes from its board any more${again}${ended}`,
      ...where(seats),
      next: `${another ? 'They play' : 'It plays'} again as soon as readings come. Check power and cable, or the network; write "steady: false" at the seat of a board that only sends when a pad changes`,
    };
  },
  back: (seats) => ({
    level: 'info',
    what: seats.length > 1 ? 'Their boards send again' : 'Its board sends again',
    ...where(seats),
    next: 'Let go of a pad before you touch it again',
  }),
  unheard: (seats) => ({
    level: 'warn',
    what: 'No readings have come yet',
    ...where(seats),
    next: places(seats),
  }),
  came: (seats) => ({ level: 'info', what: 'Readings come now', ...where(seats) }),
  ready: (seats) => ({
    level: 'info',
    what: `${list(seats.map(({ of }) => of.name))} ${seats.length > 1 ? 'are' : 'is'} ready: play`,
  }),
};

/** @param away for how long this program did not run */
export function awayWords(away: Micros): Notice {
  const seconds = Math.round(away / SECOND);
  return {
    level: 'info',
    what: `This computer slept or was too busy, or pluckwork was stopped, for ${String(seconds)} s; all notes were ended`,
    next: 'Let go of all pads, then play on',
  };
}

/** Where each seat listens, and what to check, said once for those at the same place. */
function places(seats: readonly Attended[]): string {
  const byPlace = new Map<string, { names: string[]; check: string }>();
  for (const { of } of seats) {
    const { at, check } = of.listens!;
    const one = byPlace.get(at);
    if (one) one.names.push(of.name);
    else byPlace.set(at, { names: [of.name], check });
  }
  return [...byPlace]
    .map(([at, { names, check }]) => {
      const listen = names.length > 1 ? 'listen' : 'listens';
      return `${list(names)} ${listen} on ${at}: ${check}`;
    })
    .join('. ');
}

function list(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
