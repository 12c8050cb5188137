import { resolve } from 'node:path';
import { FileFault } from '../../instrument/fault.js';
import { nearest } from '../../instrument/near.js';
import { padCount } from '../../instrument/instrument.js';
import type { Build, Instrument, Seat } from '../../instrument/types.js';
import { findFile, search, shown } from './find.js';
import { loadBuild, loadInstrument, loadRoom, loadRules } from './files.js';
import type { ReadySeat } from './room.js';
import { TakeFileFault } from './fault.js';
import { headerOfTake } from '../takes/seat.js';

/** A seat that is to be calibrated or recorded; its build need not be there yet. */
export interface OpenSeat {
  readonly ready: ReadySeat;
  /** Which pad each input is: the old build's wiring, or input n is pad n. */
  readonly wiring: readonly (number | null)[];
  /** What the build is called, or is to be called. */
  readonly buildName: string;
  /** The names of the room's other seats. */
  readonly others: readonly string[];
  /** Where the person keeps their files. */
  readonly folder: string;
}

/**
 * Loads one seat of a room with its instrument.
 *
 * @param seatName may be left out where the room has only one seat
 * @throws FileFault or TakeFileFault
 */
export async function loadSeat(
  roomName: string,
  seatName: string | undefined,
  folder: string,
): Promise<OpenSeat> {
  const room = await loadRoom(roomName, folder);
  const chosen = choose(room.seats, seatName, roomName);
  const { from } = chosen;
  const seat: Seat =
    'take' in from ? { ...chosen, from: { ...from, take: resolve(folder, from.take) } } : chosen;
  const instrument = await loadInstrument(seat.instrument, folder);
  const buildName = seat.build ?? seat.name;
  const build = seat.build === null ? null : await oldBuild(seat.build, folder);
  return {
    ready: {
      seat,
      instrument,
      build,
      rules: await loadRules(seat.rules, folder),
      rulesFile: await findFile('rules', seat.rules, folder),
      choices: [],
      take: 'take' in seat.from ? await headerOfTake(seat.from) : null,
    },
    wiring: build?.wiring ?? straight(instrument),
    buildName,
    others: room.seats.filter((one) => one !== chosen).map(({ name }) => name),
    folder,
  };
}

/** Input n is pad n. */
export function straight(instrument: Instrument): number[] {
  return Array.from({ length: padCount(instrument) }, (_, pad) => pad);
}

function choose(seats: readonly Seat[], name: string | undefined, room: string): Seat {
  const names = seats.map((seat) => seat.name);
  const list = names.join(', ');
  if (name === undefined) {
    const [only] = seats;
    if (only && seats.length === 1) return only;
    throw new TakeFileFault(`room ${room} has several seats; choose one with --seat: ${list}`);
  }
  const found = seats.find((seat) => seat.name === name);
  if (found) return found;
  const near = nearest(name, names);
  throw new TakeFileFault(
    `room ${room} has no seat "${name}"; ${near === undefined ? `its seats are: ${list}` : `did you mean "${near}"?`}`,
  );
}

/**
 * The build that is there already, or null where there is none.
 *
 * @throws TakeFileFault where it is there but cannot be read: it may hold work worth keeping
 */
export async function oldBuild(name: string, folder: string): Promise<Build | null> {
  const found = await search('build', name, folder);
  if (found.path === null) return null;
  try {
    return await loadBuild(name, folder);
  } catch (error) {
    if (!(error instanceof FileFault)) throw error;
    throw new TakeFileFault(
      `the old build ${shown(found.path)} cannot be read; fix it or move it away first\n${error.message}`,
    );
  }
}
