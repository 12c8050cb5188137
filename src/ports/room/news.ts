import { relative } from 'node:path';
import type { Seat } from '../../instrument/types.js';
import type { SeatMix } from '../../room/plan.js';
import { formatDuration } from '../../time/micros.js';
import type { Notice } from '../contracts.js';
import type { ReadySeat, WholeRoom } from '../files/room.js';
import type { RoomDifference } from './difference.js';
import type { SeatOutcome } from './seats.js';
import { fromWords, toWords } from './words.js';

/** So many seats are named in one notice. */
const MOST_NAMED = 6;

/** How a seat is going to be played. */
export function seatWords({ seat, instrument }: ReadySeat): string {
  const begins = `${instrument.name}, from ${fromWords(seat.from)}`;
  if ('osc' in seat.from && seat.from.hand === 'notes') return `${begins}, notes made there`;
  const build =
    seat.build === null
      ? 'calibrated as it starts: let go of all pads until it is ready'
      : `build ${seat.build}`;
  return `${begins}, rules ${seat.rules}, ${build}`;
}

/**
 * What people are told of files that have taken effect.
 *
 * @param changed how each seat that stays was changed
 */
export function roomNews(
  by: RoomDifference,
  changed: readonly SeatOutcome[],
  now: WholeRoom,
  folder: string,
): Notice[] {
  const shared = Object.keys(by.room).join(', ');
  const news: Omit<Notice, 'level'>[] = [
    ...by.left.map((name) => ({ what: `${name} has left the room: its notes were ended` })),
    ...by.joined.map((ready) => ({
      what: `${ready.seat.name} has joined the room: ${seatWords(ready)}`,
    })),
    ...together(changed.flatMap((one) => seatNews(one, folder))),
    ...by.engines.closed.map((to) => ({
      what: `Notes no longer go to ${toWords(to)}; what sounded there was ended`,
    })),
    ...by.engines.opened.map((to) => ({ what: `Notes now go to ${toWords(to)}` })),
    ...(shared === '' ? [] : [{ what: `What the room shares has changed: ${shared}` }]),
    ...(by.control === undefined ? [] : [{ what: controlWords(by.control) }]),
    ...(by.order
      ? [
          {
            what: `The seats are in this order now: ${now.seats.map(({ seat }) => seat.name).join(', ')}`,
          },
        ]
      : []),
  ];
  return news.map((notice) => ({ level: 'info', ...notice }));
}

interface SeatNews {
  readonly what: string;
  readonly seat: string;
}

/** One notice for all seats of which the same is to be said: a room of 30 may share one rules file. */
function together(news: readonly SeatNews[]): Omit<Notice, 'level'>[] {
  const seats = new Map<string, string[]>();
  for (const { what, seat } of news) seats.set(what, [...(seats.get(what) ?? []), seat]);
  return [...seats].map(([what, names]) => ({ what, where: seatNames(names) }));
}

function seatNames(names: readonly string[]): string {
  const shown = names.slice(0, MOST_NAMED).join(', ');
  const more = names.length - MOST_NAMED;
  if (more > 0) return `seats ${shown} and ${String(more)} more`;
  return `${names.length === 1 ? 'seat' : 'seats'} ${shown}`;
}

function seatNews(outcome: SeatOutcome, folder: string): SeatNews[] {
  const { before, now, swap, mix, began, moved } = outcome;
  const { name: seat } = now.seat;
  const news: SeatNews[] = [];
  if (began) {
    const what = `It starts again, since its pads or its wire are others now: ${seatWords(now)}`;
    news.push({ what, seat });
  } else {
    const parts = Object.keys(swap).join(', ');
    const file = swap.rules ? ` (${relative(folder, now.rulesFile)})` : '';
    if (parts !== '') news.push({ what: `New ${parts} in effect${file}`, seat });
    if (moved) {
      news.push({
        what: `Its readings come from ${fromWords(now.seat.from)} now; what it held was ended`,
        seat,
      });
    }
  }
  const sounds = mixWords(mix);
  if (sounds !== '') news.push({ what: `Now ${sounds}`, seat });
  const { steady } = now.seat;
  if (before.seat.steady !== steady) news.push({ what: steadyWords(steady), seat });
  return news;
}

/** What a file changed of how a seat sounds among the others. */
function mixWords({ level, pan, mute, solo, lead, sound }: Partial<SeatMix>): string {
  const words = [
    level === undefined ? [] : [`level ${String(level)}`],
    pan === undefined ? [] : [`pan ${String(pan)}`],
    mute === undefined ? [] : [mute ? 'muted' : 'not muted'],
    solo === undefined ? [] : [solo ? 'solo' : 'not solo'],
    lead === undefined ? [] : [lead ? 'the lead' : 'not the lead'],
    sound === undefined ? [] : [`sound ${String(sound)}`],
  ];
  return words.flat().join(', ');
}

function steadyWords(steady: Seat['steady']): string {
  if (steady === false) return 'Its notes do not end any more when its board stops sending';
  const after = typeof steady === 'number' ? ` for ${formatDuration(steady)}` : '';
  const only = steady === null ? ', if it has sent steadily before' : '';
  return `Its notes end when its board sends nothing${after}${only}`;
}

function controlWords(control: WholeRoom['room']['control']): string {
  return control
    ? `The room can be changed over OSC on UDP port ${String(control.osc)} now`
    : 'The room can no longer be changed over OSC';
}
