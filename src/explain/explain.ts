import { padNames } from '../instrument/pad-names.js';
import type { Instrument, Rules } from '../instrument/types.js';
import { isChange } from '../room/change.js';
import type { OnFault } from '../time/alongside.js';
import type { Micros } from '../time/micros.js';
import type { VoiceEvent } from '../room/voice.js';
import { playedNotes, type PlayedNote } from '../compare/notes.js';
import { flipsOf, type Flip } from './flips.js';
import { happeningsOf, type Happening } from './happenings.js';
import { kindReasons } from './kinds.js';
import { seatNotes } from './notes.js';
import { otherRules, type Levels } from './others.js';
import { padStories, type PadStory } from './pads.js';
import type { Scene } from './reason.js';
import { otherRooms } from './rooms.js';
import { planAt, watchRun, type Asked, type WatchedRun } from './run.js';
import { rerunRoomBatches } from '../takes/room-rerun.js';
import { dips, nearTouches, touchStories } from './touches.js';

/** Why there was a note, or none, at one time of a take. */
export interface Explanation {
  readonly at: Micros;
  readonly from: Micros;
  readonly to: Micros;
  /** When the take ends, where it was run to its end; null: later. */
  readonly ends: Micros | null;
  readonly instrument: Instrument;
  readonly rules: Rules;
  readonly decided: boolean;
  readonly padNames: readonly string[];
  /** The pads that moved, and the frets of notes that began. */
  readonly pads: readonly PadStory[];
  /** Notes that began or ended, and touches of which none came, in the order of time. */
  readonly happenings: readonly Happening[];
  /** All that other values of one rule each would change. */
  readonly flips: readonly Flip[];
  /** Notes that sound all through the window. */
  readonly sounding: readonly PlayedNote[];
  /** The notes nearest to the time, before and after it. */
  readonly before: PlayedNote | null;
  readonly after: PlayedNote | null;
}

/** A touch that is under so many times the threshold at its highest is weak. */
const WEAK = 1.75;

/**
 * Explains what was played, or not, around one time: runs the take once with its stages watched, and
 * again with each of the rules changed that may have decided.
 *
 * @param asked `from` and `to` are what is looked at
 * @param pad only this pad, and what sounds on its string; null: all
 */
export async function explain(
  asked: Asked,
  at: Micros,
  pad: number | null,
  onFault: OnFault,
): Promise<Explanation> {
  const run = await watchRun(asked, onFault);
  const plan = planAt(run, at);
  const { instrument, rules, pads } = plan;
  const kind = kindReasons(instrument);
  const touches = touchStories(run.seen);
  const near = nearTouches(run.seen.samples, pads.full);
  const notes = seatNotes(run, touches, kind.placeOf);
  const scene: Scene = { run, instrument, rules, touches, near, notes };
  const others = [
    ...otherRules(rules, instrument, levelsOf(scene)),
    ...otherRooms(
      asked.room,
      run.input.filter((event) => isChange(event)),
      asked.seat,
    ),
  ];
  const flips = flipsOf(run, others, rules);
  const happenings = happeningsOf(scene, kind, flips, pad);
  const { from, to } = asked;
  return {
    at,
    from,
    to,
    instrument,
    rules,
    flips,
    happenings,
    decided: pads.decided,
    padNames: padNames(instrument),
    pads: padStories(scene, happenings, pad),
    sounding: run.notes.filter(({ onset, offset }) => onset < from && offset > to),
    ends: run.whole ? run.end : null,
    ...(await nearest(run, at, onFault)),
  };
}

function levelsOf({ run, near, touches }: Scene): Levels {
  const { from, to } = run.asked;
  const { on } = run.asked.seats[run.asked.seat]!.rules.touch;
  const weak = touches
    .filter(({ onset, rise }) => onset >= from && onset <= to && rise.length > 0)
    .map(({ rise, strike }) => Math.max(...rise, strike?.reach ?? 0))
    .filter((level) => level < WEAK * on);
  const missed = near.flatMap(({ why, sample }) => (why === 'under-on' ? [sample.level] : []));
  return { missed, weak, dipped: dips(run.seen.samples).map(({ sample }) => sample.level) };
}

/** The notes before and after a time; where the run ended too soon for that, all of the take is run. */
async function nearest(
  run: WatchedRun,
  at: Micros,
  onFault: OnFault,
): Promise<{ before: PlayedNote | null; after: PlayedNote | null }> {
  const before = run.notes.findLast(({ onset }) => onset <= at) ?? null;
  const after = run.notes.find(({ onset }) => onset > at) ?? null;
  if (after || run.whole) return { before, after };
  const told: OnFault = (seat, t, error) => {
    if (t > run.end) onFault(seat, t, error);
  };
  return { before, after: await nextNote(run.asked, at, told) };
}

/** The first note of the seat after a time, whole. */
async function nextNote(
  { events, seats, room, seat }: Asked,
  at: Micros,
  onFault: OnFault,
): Promise<PlayedNote | null> {
  const own: VoiceEvent[] = [];
  let voice: number | null = null;
  for await (const batch of rerunRoomBatches(events(), seats, room, onFault)) {
    for (const event of batch) {
      if (voice === null && event.type === 'on' && event.seat === seat && event.t > at) {
        voice = event.voice;
        own.push(event);
      } else if (event.type === 'off' && event.voice === voice) {
        own.push(event);
        return playedNotes(own)[0] ?? null;
      }
    }
  }
  return playedNotes(own)[0] ?? null;
}
