import type { From, MidiWire, Seat } from '../../instrument/types.js';
import { SECOND, type Micros } from '../../time/micros.js';
import type { Steadiness } from '../../wire/steady.js';
import type { SeatPlan } from '../../pipeline.js';
import type { AttendedSeat } from './attended-seat.js';
import { ownAddresses } from '../osc/listen.js';

/** A MIDI port that went away is noticed by itself within a second; that is told instead. */
const PORT_LOOKED_AT: Micros = 1.2 * SECOND;

/** The one wire that carries whole scans; on the others a board may tell only changes. */
const SCANS: MidiWire = 'frames';

/** What is to be noticed of a seat's board. */
export function attendedSeat(
  seat: number,
  { name, from, steady }: Pick<Seat, 'name' | 'from' | 'steady'>,
  { instrument, pads }: Pick<SeatPlan, 'instrument' | 'pads'>,
  played: boolean,
  calibrated: boolean,
): AttendedSeat {
  return {
    seat,
    name,
    instrument,
    pads,
    calibrated,
    steady: steadiness(from, steady),
    listens: listensOn(from),
    patience: 'as' in from ? PORT_LOOKED_AT : 0,
    played: played && !('take' in from) && !('player' in from && from.player === 'demo'),
  };
}

function steadiness(from: From, steady: Seat['steady']): Steadiness {
  if (typeof steady === 'number') return steady;
  if (steady !== null) return steady ? 'always' : 'never';
  if ('osc' in from) return from.hand === 'notes' ? 'never' : 'auto';
  return 'as' in from && from.as === SCANS ? 'auto' : 'never';
}

function listensOn(from: From): AttendedSeat['listens'] {
  if ('osc' in from) {
    const own = ownAddresses();
    const address = own.length === 0 ? 'which is in no network' : own.join(' or ');
    const sender = from.hand === 'notes' ? 'the other computer' : 'the board';
    return {
      at: `UDP port ${String(from.osc)} of this computer (${address})`,
      check: `check that ${sender} is on, is in the same network, and sends there under this name`,
    };
  }
  if (!('as' in from)) return null;
  const at =
    'midi' in from ? `the MIDI port named like "${from.midi}"` : `our MIDI port "${from.virtual}"`;
  const check =
    from.as === SCANS
      ? 'check its cable, and "as:" in the room file'
      : 'touch a pad; if nothing comes, check its cable, and "as:" in the room file';
  return { at, check };
}
