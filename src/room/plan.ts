import type { PitchClasses } from '../instrument/types.js';
import type { Change } from './change.js';

/** How one seat sounds among the others. */
export interface SeatMix {
  /** 0 to 1, applied to the amplitude. */
  readonly level: number;
  /** −1 is left, 0 the middle, 1 right. */
  readonly pan: number;
  /** The seat is silent. */
  readonly mute: boolean;
  /** While any seat is solo, only those that are sound. */
  readonly solo: boolean;
  /** While this seat sounds, the others are turned down by the room's `duck`. */
  readonly lead: boolean;
  /** General MIDI program, or drum kit, counted from 1. */
  readonly sound: number;
}

/** How the seats share the speaker, as a room file has it or as changes have left it. */
export interface RoomPlan {
  /** By slot; `EMPTY` where nobody plays. */
  readonly mixes: readonly SeatMix[];
  /** How many notes sound at once in the whole room, in fair shares; 1 or more. */
  readonly voices: number;
  /** null: every note is played as it is. */
  readonly scale: PitchClasses | null;
  /** How far the others are turned down while a lead plays, in dB, 0 or more. */
  readonly duck: number;
}

const PLAIN: SeatMix = {
  level: 1,
  pan: 0,
  mute: false,
  solo: false,
  lead: false,
  sound: 1,
};

/** The mix of a slot in which nobody plays: it holds nobody back, and no change reaches it. */
export const EMPTY: SeatMix = { ...PLAIN };

/** A room that holds nothing back: for takes of one unit, and for tests. */
export function plainRoom(seats: number): RoomPlan {
  const mixes = Array.from({ length: seats }, () => PLAIN);
  return { mixes, voices: Infinity, scale: null, duck: 0 };
}

/**
 * The room after a change. A change of a seat that is not there changes nothing.
 *
 * @example changed(room, { type: 'seat-change', t: 0, seat: 1, mute: true }).mixes[1]?.mute // true
 */
export function changed(room: RoomPlan, change: Change): RoomPlan {
  if (change.type === 'room-change') {
    const { scale = room.scale, duck = room.duck, voices = room.voices } = change;
    return { ...room, scale, duck, voices };
  }
  const { seat } = change;
  const before = room.mixes[seat];
  if (!before || before === EMPTY) return room;
  const {
    level = before.level,
    pan = before.pan,
    mute = before.mute,
    solo = before.solo,
    lead = before.lead,
    sound = before.sound,
  } = change;
  const after: SeatMix = { level, pan, mute, solo, lead, sound };
  return { ...room, mixes: room.mixes.map((mix, i) => (i === seat ? after : mix)) };
}

/** The room after a seat has joined with a mix, or has left (null). */
export function withSeat(room: RoomPlan, seat: number, mix: SeatMix | null): RoomPlan {
  const mixes = [...room.mixes];
  while (mixes.length < seat) mixes.push(EMPTY);
  mixes[seat] = mix ?? EMPTY;
  return { ...room, mixes };
}

/** By slot, whether notes of it may sound: it is not muted, and solo if any seat is. */
export function audibleSeats({ mixes }: RoomPlan): boolean[] {
  const solos = mixes.some(({ solo }) => solo);
  return mixes.map(({ mute, solo }) => !mute && (solo || !solos));
}
