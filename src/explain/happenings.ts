import { MILLISECOND, type Micros } from '../time/micros.js';
import { flipAt, type Flip } from './flips.js';
import { endedAt, resetEnd, roomEnd, roomReasons } from './notes.js';
import { perhaps, reason, type KindReasons } from './reason.js';
import type { Reason, ReasonKind, Scene, SeatNote } from './reason.js';
import { dips, type TouchStory } from './touches.js';

/** A reason, and those of its rules of which running again has shown that they decided. */
export interface Found extends Reason {
  /** One other value of each is enough; the first that showed it. */
  readonly shown: readonly Flip[];
}

/** A note, or something of which none came. */
export interface Happening {
  readonly t: Micros;
  /** The string, key or drum pad; null where it is none's. */
  readonly place: number | null;
  /** The pad that was touched; null for slurs. */
  readonly pad: number | null;
  readonly touch: TouchStory | null;
  /** null: no note came of it. */
  readonly note: SeatNote | null;
  /** When the note ended; null where it goes on. */
  readonly ended: Micros | null;
  /** Why it began so, or why there was none. */
  readonly reasons: readonly Found[];
  readonly ends: readonly Found[];
}

interface Draft extends Omit<Happening, 'reasons' | 'ends'> {
  readonly reasons: readonly Reason[];
  readonly ends: readonly Reason[];
  /** Notes that would come of it come at most so long after it. */
  readonly within: Micros;
}

const NO_END = { ended: null, ends: [] };
/** A note that some rule holds back comes at most so long after its touch. */
const HELD_BACK: Micros = 250 * MILLISECOND;
const BEFORE: Micros = 10 * MILLISECOND;

const WHY_NOT: ReadonlySet<Flip['changes'][number]['kind']> = new Set(['added']);
const WHY_SO: typeof WHY_NOT = new Set(['missed', 'added', 'pitch', 'earlier', 'later']);
/** What is said of the pitch, or of whether there was a note at all, is shown by these only. */
const OF_PITCH: typeof WHY_NOT = new Set(['missed', 'added', 'pitch']);
const NARROWER: Readonly<Partial<Record<ReasonKind, typeof WHY_NOT>>> = {
  weak: new Set(['missed']),
  'of-several': OF_PITCH,
  'early-lift': OF_PITCH,
  'missed-early': OF_PITCH,
  'missed-late': OF_PITCH,
  'near-fret': OF_PITCH,
};
const WHY_ENDED: typeof WHY_NOT = new Set(['longer', 'shorter', 'missed']);

/** What happened in the window, in the order of time, each with what decided. */
export function happeningsOf(
  scene: Scene,
  kind: KindReasons,
  flips: readonly Flip[],
  only: number | null,
): Happening[] {
  const drafts = [
    ...noteDrafts(scene, kind),
    ...touchDrafts(scene, kind),
    ...nearDrafts(scene, kind),
  ].sort((a, b) => a.t - b.t);
  const own = claimed(drafts, flips);
  const place = only === null ? null : kind.placeOf(only);
  return drafts.flatMap((draft): Happening[] => {
    if (only !== null && draft.pad !== only && draft.place !== place) return [];
    const { t, place: at, pad, touch, note, ended, reasons, ends } = draft;
    const kinds = draft.note?.played ? WHY_SO : WHY_NOT;
    const found = foundOf(reasons, own.get(draft) ?? [], kinds);
    const over = foundOf(ends, own.get(draft) ?? [], WHY_ENDED);
    // What is told only where it matters, and does not, is no happening.
    if (found.length === 0) return [];
    return [{ t, place: at, pad, touch, note, ended, reasons: found, ends: over }];
  });
}

function foundOf(
  reasons: readonly Reason[],
  flips: readonly Flip[],
  kinds: typeof WHY_NOT,
): Found[] {
  return reasons.flatMap((one) => {
    const wanted = NARROWER[one.kind] ?? kinds;
    const shown = one.keys.flatMap((key) => {
      const flip = flips.find(
        (other) => other.key === key && other.changes.some((change) => wanted.has(change.kind)),
      );
      return flip ? [flip] : [];
    });
    return shown.length === 0 && one.onlyIf ? [] : [{ ...one, shown }];
  });
}

/** Which changes are whose: those of a note its own; added notes that of what is just before them. */
function claimed(drafts: readonly Draft[], flips: readonly Flip[]): Map<Draft, Flip[]> {
  const own = new Map<Draft, Flip[]>();
  for (const flip of flips) {
    const t = flipAt(flip);
    const { note, other } = flip;
    const draft = note
      ? drafts.find((one) => one.note?.played?.voice === note.voice)
      : drafts.findLast(
          (one) =>
            !one.note?.played &&
            one.place === other?.string &&
            one.t - BEFORE <= t &&
            t <= one.t + one.within,
        );
    if (draft) own.set(draft, [...(own.get(draft) ?? []), flip]);
  }
  return own;
}

function noteDrafts(scene: Scene, kind: KindReasons): Draft[] {
  const { from, to } = scene.run.asked;
  return scene.notes.flatMap((note): Draft[] => {
    const { on, touch } = note;
    const ended = endedAt(scene, note);
    const isIn = (t: Micros | null): boolean => t !== null && t >= from && t <= to;
    if (!isIn(on.t) && !isIn(ended)) return [];
    const byLogic = scene.rules.logic?.code ? [reason('own-logic', {}, 'logic')] : null;
    const began = [...(byLogic ?? kind.start(scene, note)), ...roomReasons(scene, note)];
    const weak = touch?.strike ? { level: touch.strike.reach } : null;
    const by = roomEnd(scene, note) ?? resetEnd(scene, note);
    const over = by ? [by] : byLogic ? [reason('ended-by-logic')] : kind.end(scene, note);
    return [
      {
        t: on.t,
        place: on.string,
        pad: touch?.pad ?? null,
        touch,
        note,
        ended,
        reasons: weak ? [...began, perhaps('weak', weak, 'touch.on')] : began,
        ends: ended === null || !note.played ? [] : over,
        within: HELD_BACK,
      },
    ];
  });
}

/** Touches of which no note came. */
function touchDrafts(scene: Scene, kind: KindReasons): Draft[] {
  const { from, to } = scene.run.asked;
  const sounded = new Set(scene.notes.flatMap(({ touch }) => touch ?? []));
  const byLogic = scene.rules.logic?.code !== undefined && scene.rules.logic.code !== null;
  return scene.touches.flatMap((touch): Draft[] => {
    const { pad, onset, lift, strike, rise } = touch;
    const base = { place: kind.placeOf(pad), pad, touch, note: null, ...NO_END };
    const isIn = (t: Micros): boolean => t >= from && t <= to;
    const draft = (t: Micros, reasons: readonly Reason[], within = HELD_BACK): Draft[] =>
      isIn(t) && reasons.length > 0 ? [{ ...base, t, reasons, within }] : [];
    const bounced = touch.bounces.flatMap((one) =>
      draft(one.from, [perhaps('bounced', { lasted: one.to - one.from }, 'touch.lift')]),
    );
    if (!kind.sounds(pad)) {
      if (byLogic) return [];
      const { began, lifted } = kind.silent(scene, touch);
      const used = scene.notes.some((note) => isUsed(note, touch, kind));
      return [
        ...draft(onset, used ? began.map((one) => ({ ...one, onlyIf: true })) : began),
        ...(lift === null ? [] : draft(touch.loose ?? lift, lifted)),
        ...bounced,
      ];
    }
    if (sounded.has(touch)) return bounced;
    // A module may sound any strings by a touch, as hard as it likes.
    const near = ({ on }: SeatNote): boolean => on.t >= onset && on.t <= onset + HELD_BACK;
    if (byLogic && scene.notes.some(near)) return bounced;
    if (!strike && lift !== null) {
      const level = Math.max(0, ...rise);
      return [...draft(onset, [reason('flicker', { level }, 'strength.readings')]), ...bounced];
    }
    const none = byLogic ? [reason('own-logic', {}, 'logic')] : kind.none(scene, touch);
    const other = reason(touch.dropped === null ? 'unclear' : 'stopped');
    return [...draft(onset, none.length > 0 ? none : [other]), ...bounced];
  });
}

/** Whether a touch of a fret, or of a hole, was under a note, or slurred to it. */
function isUsed({ on, onStep }: SeatNote, touch: TouchStory, kind: KindReasons): boolean {
  if (kind.placeOf(touch.pad) !== on.string || touch.onset > on.t) return false;
  const { event } = onStep;
  if (event.type !== 'wake' && event.type !== 'reset' && event.pad === touch.pad) return true;
  return on.fret > 0 && (touch.lift === null || touch.lift > on.t);
}

/** Levels that rose and began no touch, or fell and rose within one. */
function nearDrafts(scene: Scene, kind: KindReasons): Draft[] {
  const near = scene.near.map((one): Draft => {
    const { pad, why, sample } = one;
    const { level, on, noise } = sample;
    const facts = { level, limit: on, noise, rule: scene.rules.touch.on };
    const keys = why === 'under-on' ? ['touch.on'] : [];
    const own = kind.sounds(pad) ? reason(why, facts, ...keys) : perhaps(why, facts, ...keys);
    return draftOf(kind, pad, sample.t, own);
  });
  const low = dips(scene.run.seen.samples).map(({ pad, sample }) => {
    const facts = { level: sample.level, limit: sample.off };
    return draftOf(kind, pad, sample.t, perhaps('dipped', facts, 'touch.off'));
  });
  return [...near, ...low];
}

function draftOf(kind: KindReasons, pad: number, t: Micros, one: Reason): Draft {
  const base = { t, pad, touch: null, note: null, ...NO_END };
  return { ...base, place: kind.placeOf(pad), reasons: [one], within: HELD_BACK };
}
