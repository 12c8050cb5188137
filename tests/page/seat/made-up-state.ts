import { printedOrder } from '../../../src/instrument/instrument-pads.js';
import { ruleControls } from '../../../src/page/host/rule-controls.js';
import type { PadVerdict, PageSeat, PageState } from '../../../src/page/link/state.js';
import { madeUpSeat, numbered } from '../support/made-up-seat.js';

/** A room of a bass, drums and a board that decides touches itself. */
export function madeUpState(): PageState {
  return {
    room: {
      name: 'workshop',
      voices: 64,
      scale: null,
      duck: 9,
      rulesNames: ['arpeggio', 'instant', 'legato', 'plain', 'strum'],
      controls: ruleControls(),
      playing: true,
    },
    seats: numbered([
      madeUpSeat('north', 'bass-4x4'),
      madeUpSeat('east', 'drums-6', { plugged: 'waiting', build: null }),
      madeUpSeat('south', 'keys-13', { raw: false }),
    ]),
    engines: [],
    notices: [],
    guide: null,
    recording: null,
    takes: [],
  };
}

/** Most pads are good; some show each other verdict. */
export function madeUpVerdicts(seat: PageSeat): PadVerdict[] {
  const order = printedOrder(seat.instrument);
  const wrong = new Map<number, Omit<PadVerdict, 'pad' | 'name'>>([
    [
      order[2]!,
      {
        grade: 'weak',
        ratio: 4.1,
        findings: [
          {
            what: 'A touch moves it too little for its noise (5:1 is the least): 4.1:1',
            cause: 'A cover layer that is too thick or not flat, a small pad, or a long wire.',
            next: 'Touch it firmly and check again. If it stays: a thinner cover, then a larger pad.',
          },
        ],
      },
    ],
    [
      order[4]!,
      {
        grade: 'bad',
        ratio: null,
        findings: [
          {
            what: 'It reads one and the same value all the time',
            cause: 'No wire reaches that input, or the board does not really read it.',
            next:
              'Check the wire at the board first: pull it gently; it must not come out. A joint may ' +
              'have to be made again.',
          },
        ],
      },
    ],
    [
      order[5]!,
      {
        grade: 'unheard',
        ratio: null,
        findings: [
          {
            what: 'Readings came, but no touch was seen on it',
            cause: 'It was not touched, or its wire is broken between the board and the tape.',
            next: 'Touch it firmly and check again.',
          },
        ],
      },
    ],
  ]);
  return order.map((pad) => ({
    pad,
    name: seat.padNames[pad] ?? '',
    ...(wrong.get(pad) ?? { grade: 'good', ratio: 24.5, findings: [] }),
  }));
}
