import type { Ask, Claim } from './claim.js';
import type { Notice } from '../contracts.js';
import { idWords, type UnitId } from './id.js';

/** Notices about who plays on which unit, without their places. */
type Words = Omit<Notice, 'where'>;

const BY_HAND = 'to choose again, start with: play --forget-units';

/** A seat has its unit. */
export function openWords(
  port: string,
  id: UnitId | null,
  alike: ReadonlySet<string>,
  again: boolean,
  why: Claim['why'],
): Words {
  const marks = idWords(id, alike);
  const what = `the MIDI port "${port}" is open${again ? ' again' : ''}${marks && ` (${marks})`}`;
  if (why !== 'touched') return { level: 'info', what };
  const next =
    id === null
      ? 'It has this seat because it was touched; to choose again, unplug the units and plug them in again'
      : `It has this seat because it was touched, and keeps it; ${BY_HAND}`;
  return { level: 'info', what, next };
}

/** A touch must tell. */
export function askWords({ other }: Ask): Words {
  return other
    ? {
        level: 'warn',
        what: 'the unit that is plugged in is not the one that this seat had',
        next: "Touch any pad of it to give it the seat, or plug in the seat's own unit",
      }
    : {
        level: 'warn',
        what: "nothing tells which of the units that are plugged in is this seat's",
        next: "Touch any pad of this seat's unit; that touch makes no note",
      };
}

/** All units that are here have seats that are not open now. */
export function elsewhereWords(seats: readonly string[]): Words {
  return {
    level: 'warn',
    what: `only units of other seats are plugged in: ${seats.join(', ')}`,
    next: `Plug in this seat's unit. If it is there, ${BY_HAND}`,
  };
}

/** A unit too many. */
export function spareWords(port: string): Words {
  return {
    level: 'info',
    what: `"${port}" is plugged in, but every seat for it has its unit`,
    next: 'It is taken up when a unit goes; or add a seat to the room file',
  };
}
