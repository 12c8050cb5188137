import type { Rules } from '../instrument/types.js';
import type { Limits, NoteOff, NoteOn, SeatEvent } from '../playing/note.js';
import type { Seated } from '../time/alongside.js';
import type { Reset } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import { NOTHING, type Outcome, type Stage } from '../time/stage.js';
import type { Change, RoomChange } from './change.js';
import { audibleSeats, changed, withSeat, type RoomPlan, type SeatMix } from './plan.js';
import { yields, type Contender } from './priority.js';
import type { Leave, RoomJoin } from './seating.js';
import { fromTheMost, makesRoom } from './shares.js';
import type { VoiceEvent } from './voice.js';

interface Sounding extends Contender {
  readonly voice: number;
  readonly string: number;
}

export interface VoicesState {
  /** What sounds, by slot. */
  readonly seats: Sounding[][];
  /** By slot; null where nobody plays. */
  readonly limits: (Rules['voices'] | null)[];
  /** How many notes sound in the whole room. */
  total: number;
  lastVoice: number;
  room: RoomPlan;
  audible: readonly boolean[];
  /** The seats that were asked to be silent, or have ended, and have not played since. */
  readonly still: Set<number>;
}

type Out = VoiceEvent | RoomChange;

/**
 * notes → voices: gives each note its voice, keeps every seat to its own limit of voices and the
 * room to its, in fair shares, and has muted seats and those beside a solo not sound.
 *
 * A note that yields ends at once; one that never won a place does not sound. Either way its own
 * off is passed over later. Silence is said once all seats were asked for it, or have ended.
 *
 * @param limits by slot as it begins; null where nobody plays
 */
export function voices(
  limits: readonly (Rules['voices'] | null)[],
  room: RoomPlan,
): Stage<VoicesState, Seated<SeatEvent> | Change | RoomJoin | Leave, Out> {
  function end(
    state: VoicesState,
    t: Micros,
    { seat, index, slurred = false }: { seat: number; index: number; slurred?: boolean },
    out: Out[],
  ): void {
    const [one] = state.seats[seat]!.splice(index, 1);
    const { voice, note, string } = one!;
    state.total--;
    out.push({ type: 'off', t, voice, seat, note, string, slurred });
  }

  function endAll(state: VoicesState, t: Micros, seat: number, out: Out[]): void {
    while (state.seats[seat]!.length > 0) end(state, t, { seat, index: 0 }, out);
  }

  /** Ends what must end for a new note; false where it is the new one that has no place. */
  function won(state: VoicesState, t: Micros, seat: number, own: Sounding, out: Out[]): boolean {
    const sounding = state.seats[seat]!;
    const { most, keep } = state.limits[seat]!;
    const full = state.total >= state.room.voices;
    if (sounding.length < most) {
      if (!full) return true;
      const loser = makesRoom(state.seats, keepOf(state), seat);
      if (loser) {
        end(state, t, loser, out);
        return true;
      }
    }
    const index = yields([...sounding, own], keep);
    if (index === sounding.length) return false;
    end(state, t, { seat, index }, out);
    return true;
  }

  function onNote(state: VoicesState, seat: number, note: NoteOn, out: Out[]): void {
    state.still.delete(seat);
    if (!state.audible[seat]) return;
    const voice = state.lastVoice + 1;
    const { t, velocity, strength, string, fret, how } = note;
    const own: Sounding = { voice, order: voice, note: note.note, strength, string };
    if (!won(state, t, seat, own, out)) return;
    state.lastVoice = voice;
    state.seats[seat]!.push(own);
    state.total++;
    const pitch = note.note;
    out.push({ type: 'on', t, voice, seat, note: pitch, velocity, strength, string, fret, how });
  }

  function offNote(state: VoicesState, seat: number, note: NoteOff, out: Out[]): void {
    const index = state.seats[seat]!.findIndex((one) => one.string === note.string);
    if (index < 0) return;
    end(state, note.t, { seat, index, slurred: note.slurred }, out);
  }

  function onLimits(
    state: VoicesState,
    seat: number,
    { t, voices: limit }: Limits,
    out: Out[],
  ): void {
    state.limits[seat] = limit;
    const sounding = state.seats[seat]!;
    while (sounding.length > limit.most) {
      end(state, t, { seat, index: yields(sounding, limit.keep) }, out);
    }
  }

  function onReset(state: VoicesState, seat: number, { t, why }: Reset, out: Out[]): void {
    // A stage that threw has not ended its notes itself.
    endAll(state, t, seat, out);
    if (why !== 'silence' && why !== 'end') return;
    if (state.still.add(seat).size < playing(state)) return;
    state.still.clear();
    out.push({ type: 'silence', t });
  }

  function onChange(state: VoicesState, change: Change, out: Out[]): void {
    const before = state.room;
    const { t } = change;
    reshare(state, t, changed(before, change), out);
    while (state.total > state.room.voices)
      end(state, t, fromTheMost(state.seats, keepOf(state))!, out);
    if (change.type === 'room-change') {
      out.push(change);
      return;
    }
    const { seat } = change;
    const mix = state.room.mixes[seat];
    if (!mix || alike(mix, before.mixes[seat]!)) return;
    const { level, pan, sound, lead } = mix;
    out.push({ type: 'mix', t, seat, level, pan, sound, lead });
  }

  /** Those who are muted, or beside a solo, end. */
  function reshare(state: VoicesState, t: Micros, room: RoomPlan, out: Out[]): void {
    state.room = room;
    state.audible = audibleSeats(room);
    for (const [seat, audible] of state.audible.entries()) {
      if (!audible) endAll(state, t, seat, out);
    }
  }

  /** Whoever plays there leaves first. */
  function onJoin(state: VoicesState, event: RoomJoin, out: Out[]): void {
    const { t, seat, mix, of, sound } = event;
    onLeave(state, { type: 'leave', t, seat }, out);
    for (let i = state.limits.length; i <= seat; i++) empty(state, i);
    state.limits[seat] = of.voices;
    const { level, pan, lead } = mix;
    out.push({ type: 'joined', t, seat, sound });
    out.push({ type: 'mix', t, seat, level, pan, sound: mix.sound, lead });
    reshare(state, t, withSeat(state.room, seat, mix), out);
  }

  function onLeave(state: VoicesState, { t, seat }: Leave, out: Out[]): void {
    if (!state.limits[seat]) return;
    endAll(state, t, seat, out);
    empty(state, seat);
    out.push({ type: 'left', t, seat });
    reshare(state, t, withSeat(state.room, seat, null), out);
  }

  function onSeat(state: VoicesState, { seat, event }: Seated<SeatEvent>, out: Out[]): void {
    switch (event.type) {
      case 'on':
        onNote(state, seat, event, out);
        break;
      case 'off':
        offNote(state, seat, event, out);
        break;
      case 'limits':
        onLimits(state, seat, event, out);
        break;
      case 'reset':
        onReset(state, seat, event, out);
        break;
    }
  }

  return {
    name: 'voices',
    begin: () => ({
      seats: limits.map(() => []),
      limits: [...limits],
      total: 0,
      lastVoice: 0,
      room,
      audible: audibleSeats(room),
      still: new Set(),
    }),
    step(state, event): Outcome<VoicesState, Out> {
      if (event.type === 'wake') return { state, out: NOTHING, wake: NEVER };
      const out: Out[] = [];
      if (event.type === 'seated') onSeat(state, event, out);
      else if (event.type === 'join') onJoin(state, event, out);
      else if (event.type === 'leave') onLeave(state, event, out);
      else onChange(state, event, out);
      return { state, out, wake: NEVER };
    },
  };
}

function keepOf({ limits }: VoicesState): (seat: number) => Rules['voices']['keep'] {
  return (seat) => limits[seat]!.keep;
}

/** How many seats play. */
function playing({ limits }: VoicesState): number {
  return limits.reduce((count, limit) => (limit ? count + 1 : count), 0);
}

/** Nobody plays there. */
function empty({ seats, limits, still }: VoicesState, seat: number): void {
  seats[seat] = [];
  limits[seat] = null;
  still.delete(seat);
}

/** Whether the engines need not be told of a difference. */
function alike(a: SeatMix, b: SeatMix): boolean {
  return a.level === b.level && a.pan === b.pan && a.sound === b.sound && a.lead === b.lead;
}
