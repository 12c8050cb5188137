import type { NoteOn } from '../playing/note.js';
import { audibleSeats, type RoomPlan } from '../room/plan.js';
import { roomAfter } from '../room/seating.js';
import type { Micros } from '../time/micros.js';
import type { PlayedNote } from '../compare/notes.js';
import { reason, type Reason, type Scene, type SeatNote } from './reason.js';
import type { WatchedRun } from './run.js';
import type { TouchStory } from './touches.js';

/** All notes that the seat's playing logic made, each with its touch and with what was heard of it. */
export function seatNotes(
  run: WatchedRun,
  touches: readonly TouchStory[],
  placeOf: (pad: number) => number | null,
): SeatNote[] {
  const notes: SeatNote[] = [];
  const sounding = new Map<number, SeatNote>();
  const taken = new Set<TouchStory>();
  const heard = new Map<string, PlayedNote[]>();
  for (const one of run.notes) {
    const key = keyOf(one.onset, one.string, one.strength);
    heard.set(key, [...(heard.get(key) ?? []), one]);
  }

  function touchOf({ t, string, strength }: NoteOn): TouchStory | null {
    const own = touches.findLast(
      (one) =>
        one.strike !== null &&
        one.strike.t <= t &&
        one.strike.strength === strength &&
        placeOf(one.pad) === string &&
        !taken.has(one),
    );
    if (own) taken.add(own);
    return own ?? null;
  }

  for (const step of run.seen.steps) {
    for (const event of step.out) {
      if (event.type === 'off') {
        const note = sounding.get(event.string);
        if (note) [note.off, note.offStep] = [event, step];
        sounding.delete(event.string);
      } else if (event.type === 'on') {
        const touch = BEGINS.has(event.how) ? touchOf(event) : null;
        const played = heard.get(keyOf(event.t, event.string, event.strength))?.shift() ?? null;
        const note = { on: event, onStep: step, off: null, offStep: null, touch, played };
        sounding.set(event.string, note);
        notes.push(note);
      }
    }
  }
  return notes;
}

const keyOf = (t: Micros, string: number, strength: number): string =>
  `${String(t)} ${String(string)} ${String(strength)}`;

const BEGINS: ReadonlySet<string> = new Set<NoteOn['how']>(['pluck', 'press', 'blow', 'hit']);

/** The room as changes had left it at a time. */
export function roomAt({ asked, input }: WatchedRun, t: Micros): RoomPlan {
  let { room } = asked;
  for (const event of input) {
    if (event.t > t) break;
    if (event.type !== 'seated') room = roomAfter(room, event);
  }
  return room;
}

/** What the room made of a note: why it did not sound, or at another pitch. */
export function roomReasons({ run }: Scene, { on, played }: SeatNote): Reason[] {
  const room = roomAt(run, on.t);
  const { seat } = run.asked;
  if (played) {
    if (played.note === on.note) return [];
    return [reason('moved', { from: on.note, to: played.note }, 'room.scale')];
  }
  if (room.mixes[seat]?.mute) return [reason('muted', {}, 'room.mute')];
  if (!audibleSeats(room)[seat]) return [reason('not-solo', {}, 'room.solo')];
  return [reason('no-place', {}, ...LIMITS)];
}

const LIMITS = ['voices.most', 'voices.keep', 'room.voices'] as const;

/** When a note that was heard ended; null where it was still on when the run ended. */
export function endedAt({ run }: Scene, { off, offStep, played }: SeatNote): Micros | null {
  if (played && (!off || played.offset < off.t)) return played.offset;
  const last = offStep?.event;
  if (!off || (last?.type === 'reset' && last.why === 'end' && !run.whole)) return null;
  return off.t;
}

/** Why a note ended that its player had not ended; null where the room did not end it. */
export function roomEnd({ run }: Scene, { on, off, played }: SeatNote): Reason | null {
  if (!played || (off && played.offset >= off.t)) return null;
  const { offset } = played;
  const { seat } = run.asked;
  const same = run.input.filter(({ t }) => t === offset);
  const other = same.find((one) => one.type === 'seated' && one.event.type === 'on');
  if (other?.type === 'seated' && other.event.type === 'on') {
    const { note, string } = other.event;
    const own = other.seat === seat ? string : null;
    return reason('yielded', { by: note, string: own, seat: other.seat }, ...LIMITS);
  }
  if (same.some((one) => one.type === 'seated' && one.event.type === 'limits')) {
    return reason('limited', {}, ...LIMITS);
  }
  const keys = ['room.mute', 'room.solo', 'room.voices'];
  return same.some(({ type }) => type !== 'seated')
    ? reason('silenced', {}, ...keys)
    : reason('ended-by-logic', { note: on.note });
}

/** Why a reset ended a note; null where none did. */
export function resetEnd({ run }: Scene, { offStep }: SeatNote): Reason | null {
  const event = offStep?.event;
  if (event?.type !== 'reset') return null;
  if (event.why !== 'end') return reason('reset', { why: event.why });
  return reason('take-end', { whole: run.whole ? 'yes' : 'no' });
}
