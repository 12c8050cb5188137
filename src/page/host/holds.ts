import type { Change, Wish } from '../../room/change.js';
import type { RoomPlan } from '../../room/plan.js';

/** Keeps seats silent while they are wired or calibrated, beside their own mute. Seats are slots. */
export interface Holds {
  hold(seat: number, on: boolean): void;
  /** Sees each change of the room, as it is made. */
  saw(change: Change): void;
  /** Whether the seat is muted by people, whatever is held. */
  ownMute(seat: number): boolean;
  /** The seat has left: its slot is held no more, whoever gets it. */
  left(seat: number): void;
  /** Gives every seat back. */
  release(): void;
}

/**
 * @param room as it is now
 * @param change changes it
 */
export function holds(room: () => RoomPlan, change: (wish: Wish) => void): Holds {
  /** By held seat, its own mute. */
  const own = new Map<number, boolean>();
  let ours = false;

  function mute(seat: number, on: boolean): void {
    ours = true;
    try {
      change({ type: 'seat-change', seat, mute: on });
    } finally {
      ours = false;
    }
  }

  function release(seat: number): void {
    const before = own.get(seat);
    own.delete(seat);
    if (before === false) mute(seat, false);
  }

  return {
    hold(seat, on) {
      if (!on) release(seat);
      else if (!own.has(seat) && seat < room().mixes.length) {
        const before = room().mixes[seat]!.mute;
        own.set(seat, before);
        if (!before) mute(seat, true);
      }
    },
    saw(event) {
      if (ours || event.type !== 'seat-change' || event.mute === undefined) return;
      const { seat } = event;
      if (!own.has(seat)) return;
      own.set(seat, event.mute);
      if (event.mute) return;
      // This change is still on its way: it is taken back once it is in effect, before anything is read.
      queueMicrotask(() => {
        if (own.has(seat) && !room().mixes[seat]!.mute) mute(seat, true);
      });
    },
    ownMute: (seat) => own.get(seat) ?? room().mixes[seat]?.mute ?? false,
    left(seat) {
      own.delete(seat);
    },
    release() {
      for (const seat of [...own.keys()]) release(seat);
    },
  };
}
