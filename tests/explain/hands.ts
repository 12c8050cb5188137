import { pitchName } from '../../src/instrument/pitch.js';
import type { Build, Instrument, Rules } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';
import type { RoomPlan } from '../../src/room/plan.js';
import { plainRoom } from '../../src/room/plan.js';
import type { PlayedNote } from '../../src/compare/notes.js';
import { playedNotes } from '../../src/compare/notes.js';
import { explain, type Explanation } from '../../src/explain/explain.js';
import { REASON_WORDS } from '../../src/explain/reason-words.js';
import { reasonWords, type Titles } from '../../src/explain/words.js';
import { rerun } from '../../src/takes/rerun.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import type { Seated } from '../../src/time/alongside.js';
import type { Scan, WireEvent } from '../../src/wire/scan.js';
import { padCount } from '../../src/instrument/instrument.js';
import { PLAIN } from '../support/bass.js';
import { atOnce } from '../support/takes.js';

/** One finger on one pad: levels at times in milliseconds, joined by straight lines. */
export interface Hand {
  readonly pad: number;
  readonly points: readonly (readonly [ms: number, level: number])[];
}

/** A finger that lands in 8 ms, stays, and leaves in 8 ms. */
export function press(pad: number, from: number, to: number, level = 1): Hand {
  const points = [[from, 0] as const, [from + 8, level] as const];
  return { pad, points: [...points, [to, level], [to + 8, 0]] };
}

function levelAt({ points }: Hand, ms: number): number {
  const next = points.findIndex(([at]) => at > ms);
  if (next <= 0) return 0;
  const [a, from] = points[next - 1]!;
  const [b, to] = points[next]!;
  return from + ((to - from) * (ms - a)) / (b - a);
}

const REST = 1_000;
const FULL = 1_000;

/** A scan of all pads every 4 ms, without any noise: rest reads 1000, a full touch 2000. */
export function scansOf(pads: number, hands: readonly Hand[], length: number): Scan[] {
  const inputs = Array.from({ length: pads }, (_, pad) => pad);
  return Array.from({ length: Math.floor(length / 4) + 1 }, (_, i) => {
    const levels = inputs.map((pad) =>
      Math.max(0, ...hands.filter((one) => one.pad === pad).map((one) => levelAt(one, 4 * i))),
    );
    const raws = levels.map((level) => Math.round(REST + FULL * level));
    return { type: 'scan', t: 4_000 * i, inputs, raws };
  });
}

export function calibrated(pads: number, noise = 0): Build {
  const pad = { rest: REST, span: FULL, noise, coupling: [] };
  return {
    wiring: Array.from({ length: pads }, (_, input) => input),
    pads: Array.from({ length: pads }, () => pad),
  };
}

/** Some keys of a rules file's groups. */
export type SomeRules = { readonly [Group in keyof Rules]?: Partial<Rules[Group]> };

export function rulesWith(own: SomeRules, base: Rules = PLAIN): Rules {
  const groups = Object.entries(own).map(([group, keys]) => [
    group,
    { ...(base[group as keyof Rules] as object), ...(keys as object) },
  ]);
  return { ...base, ...(Object.fromEntries(groups) as Partial<Rules>) };
}

export function planOf(instrument: Instrument, rules: Rules, noise = 0): SeatPlan {
  const pads = padCount(instrument);
  const build = calibrated(pads, noise);
  return { instrument, rules, pads: { pads, build, full: 16_383, decided: false } };
}

/** What a plain rerun plays. */
export function notesOf(events: readonly WireEvent[], plan: SeatPlan): PlayedNote[] {
  const voices: VoiceEvent[] = [];
  rerun(events, plan, (_seat, _t, error) => {
    throw error;
  }).subscribe((event) => voices.push(event));
  return playedNotes(voices);
}

/** `C2 808-1232`: pitch, onset and end in milliseconds. */
export const spelled = (notes: readonly PlayedNote[]): string[] =>
  notes.map(({ note, onset, offset }) => {
    const [from, to] = [onset, offset].map((t) => String(Math.round(t / 1_000)));
    return `${pitchName(note)} ${from!}-${to!}`;
  });

export const seated = (events: readonly WireEvent[], seat = 0): Seated<WireEvent>[] =>
  events.map((event) => ({ type: 'seated', t: event.t, seat, event }));

export async function explainAt(
  events: readonly WireEvent[],
  plan: SeatPlan,
  ms: number,
  more: { around?: number; pad?: number; room?: RoomPlan } = {},
): Promise<Explanation> {
  const { around = 300, pad = null, room = plainRoom(1) } = more;
  const at = ms * 1_000;
  const asked = { from: Math.max(0, at - around * 1_000), to: at + around * 1_000, seat: 0 };
  return explain(
    { events: () => atOnce(seated(events)), seats: [plan], room, ...asked },
    at,
    pad,
    (_s, _t, e) => {
      throw e;
    },
  );
}

export const TITLES: Titles = { path: 'hand.take.jsonl', seats: ['take'], seat: 0 };

/** All reasons that are told, in words, with the rules that decided. */
export function toldOf({ happenings, padNames }: Explanation): string[] {
  const names = {
    own: 0,
    pad: (pad: number) => padNames[pad]!,
    pitch: pitchName,
    seat: (seat: number) => `seat ${String(seat)}`,
  };
  return happenings.flatMap(({ reasons, ends }) =>
    [...reasons, ...ends].map((one) => reasonWords(one, names)),
  );
}

/** All rules that were found to decide, as `key value`. */
export const decidedBy = ({ happenings }: Explanation): string[] => [
  ...new Set(
    happenings.flatMap(({ reasons, ends }) =>
      [...reasons, ...ends].flatMap((one) => one.shown.map(({ key, value }) => `${key} ${value}`)),
    ),
  ),
];

export const WORDS = REASON_WORDS;
