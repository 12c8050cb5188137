import { pitchName } from '../instrument/pitch.js';
import type { Rules } from '../instrument/types.js';
import type { Change } from '../room/change.js';
import type { RoomPlan } from '../room/plan.js';
import type { Other } from './others.js';

type Key = 'voices' | 'scale' | 'mute' | 'solo';

const same = (rules: Rules): Rules => rules;

const says = (change: Change, key: Key): boolean =>
  (change as unknown as Record<Key, unknown>)[key] !== undefined;

/** The room without one of the things that hold notes back or move them. */
function without(
  key: Key,
  [value, other]: readonly [string, string],
  room: (room: RoomPlan) => RoomPlan,
  concerns: (change: Change) => boolean = () => true,
): Other {
  const change = (one: Change): Change => {
    if (!concerns(one)) return one;
    const left = Object.entries(one).filter(([name]) => name !== key);
    return Object.fromEntries(left) as unknown as Change;
  };
  return { key: `room.${key}`, value, other, pads: false, rules: same, room, change };
}

function scaleWords(scale: RoomPlan['scale']): string {
  return scale?.map((one) => pitchName(60 + one).slice(0, -1)).join(' ') ?? 'set later';
}

function eachMix(alter: (seat: number) => Partial<RoomPlan['mixes'][number]>) {
  return (room: RoomPlan): RoomPlan => ({
    ...room,
    mixes: room.mixes.map((mix, seat) => ({ ...mix, ...alter(seat) })),
  });
}

/** Whatever of the room holds back or moves notes of a seat, at its start or by a change, left out. */
export function otherRooms(room: RoomPlan, changes: readonly Change[], seat: number): Other[] {
  const { voices, scale, mixes } = room;
  const said = (key: Key): boolean => changes.some((change) => says(change, key));
  const others: Other[] = [];
  if (Number.isFinite(voices) || said('voices')) {
    const words = [String(voices), 'no limit'] as const;
    others.push(without('voices', words, (own) => ({ ...own, voices: Infinity })));
  }
  if (scale || said('scale')) {
    others.push(without('scale', [scaleWords(scale), 'off'], (own) => ({ ...own, scale: null })));
  }
  if (mixes[seat]?.mute || said('mute')) {
    const open = eachMix((i) => (i === seat ? { mute: false } : {}));
    const own = (change: Change): boolean => change.type === 'seat-change' && change.seat === seat;
    others.push(without('mute', ['true', 'false'], open, own));
  }
  if (mixes.some(({ solo }) => solo) || said('solo')) {
    const none = eachMix(() => ({ solo: false }));
    others.push(without('solo', ['of another seat', 'of none'], none));
  }
  return others;
}
