import type { PageSeat, PageState } from '../../../src/page/link/state.js';
import { madeUpSeat, numbered } from './made-up-seat.js';

const KINDS = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'drums-6'] as const;
const NAMES = ['north', 'window', 'door', 'shelf', 'corner'] as const;

interface MadeUp {
  readonly seats: number;
  /** All of them basses of 20 pads, as a class that built one plan. */
  readonly basses?: boolean;
  /** Every second seat is played on the page; else none is. */
  readonly screen?: boolean;
}

function seat(i: number, { basses = false, screen = false }: MadeUp): PageSeat {
  const file = basses ? 'bass-4x4' : KINDS[i % KINDS.length]!;
  const onPage = screen && i % 2 === 0;
  const round = Math.floor(i / NAMES.length);
  const name = `${NAMES[i % NAMES.length]!}${round === 0 ? '' : ` ${String(round + 1)}`}`;
  const one = madeUpSeat(name, file);
  return {
    ...one,
    plugged: i % 7 === 3 ? 'waiting' : i % 11 === 5 ? 'lost' : 'here',
    from: onPage ? 'this page' : `MIDI, touch board ${String(i + 1)}`,
    screen: onPage,
    build: i % 3 === 0 ? null : `unit-${String(i)}`,
    mix: { ...one.mix, pan: (i % 5) * 0.25 - 0.5, mute: i % 8 === 6, lead: i === 0 },
  };
}

/** A room as a page would be told of it, with something to see of everything. */
export function madeUpRoom(room: MadeUp): PageState {
  const seats = numbered(Array.from({ length: room.seats }, (_, i) => seat(i, room)));
  const loudness = {
    momentary: -18.4,
    shortTerm: -19.7,
    integrated: -22.1,
    truePeak: -4.2,
    limiting: 1.3,
    mostLimiting: 2.2,
  };
  const at = Date.UTC(2026, 10, 25, 10, 15, 30);
  return {
    room: {
      name: 'workshop',
      voices: 32,
      scale: [0, 2, 4, 7, 9],
      duck: 6,
      controls: [],
      rulesNames: ['plain', 'legato', 'instant'],
      playing: true,
    },
    seats,
    engines: [
      { id: 0, name: 'built-in', on: true, loudness, ceiling: { peak: -1, loudness: -16 } },
      { id: 1, name: 'MIDI port pluckwork', on: true, loudness: null, ceiling: null },
      { id: 2, name: 'OSC 127.0.0.1:9100', on: false, loudness: null, ceiling: null },
    ],
    notices: [
      { number: 1, at, level: 'info', what: 'Notes go to this computer' },
      {
        number: 2,
        at,
        level: 'warn',
        what: 'Pad A1 fret 2 reads little',
        where: 'seat north',
        next: 'Press its tape down, and look at its wire',
      },
      {
        number: 3,
        at,
        level: 'error',
        what: 'The board was pulled out',
        where: 'seat door',
        next: 'Plug it in again; it goes on by itself',
      },
    ],
    guide: null,
    recording: null,
    takes: [],
  };
}
