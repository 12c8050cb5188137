import type { PitchClasses } from '../instrument/types.js';
import type { Timed } from '../time/events.js';

/** A person changes how one seat sounds among the others; what is left out stays as it is. */
export interface SeatChange extends Timed {
  readonly type: 'seat-change';
  /** The seat's slot. */
  readonly seat: number;
  /** 0 to 1. */
  readonly level?: number;
  /** −1 is left, 0 the middle, 1 right. */
  readonly pan?: number;
  readonly mute?: boolean;
  readonly solo?: boolean;
  readonly lead?: boolean;
  /** General MIDI program, or drum kit, counted from 1. */
  readonly sound?: number;
}

/** A person changes what holds for the whole room; what is left out stays as it is. */
export interface RoomChange extends Timed {
  readonly type: 'room-change';
  /** null: every note is played as it is. */
  readonly scale?: PitchClasses | null;
  /** In dB, 0 or more. */
  readonly duck?: number;
  readonly voices?: number;
}

export type Change = SeatChange | RoomChange;

export function isChange(event: { readonly type: string }): event is Change {
  return event.type === 'seat-change' || event.type === 'room-change';
}

/** A change as somebody asks for it; whoever takes it in gives it its time. */
export type Wish = Omit<SeatChange, 't'> | Omit<RoomChange, 't'>;
