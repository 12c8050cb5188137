import type { How } from '../../../src/playing/note.js';
import type { Engine } from '../../../src/ports/contracts.js';
import type { RoomPlan, SeatMix } from '../../../src/room/plan.js';
import type { Wish } from '../../../src/room/change.js';
import type { Joined, Left, Mix, VoiceEvent, VoiceOff, VoiceOn } from '../../../src/room/voice.js';

/**
 * An engine that holds a room to what it promises: one off for each on, one note a string, limits, muted
 * seats silent. It keeps its own account of the room, and knows nothing of how the room keeps its.
 */
export interface Promises {
  readonly engine: Engine;
  /** The first promise that was broken, in words; null while all were kept. */
  broken(): string | null;
  /** Says that one was broken. */
  fail(what: string): void;
  /** The way throws: voices are counted from 1 again, after a silence. */
  restarted(): void;
  /** Around whatever changes what is allowed: both are, until it is over. */
  around(change: Allowance, work: () => void): void;
  /** These seats may not sound; where none does, nobody may be left turned down. */
  still(silent: (seat: number) => boolean): void;
  /** How many notes began, by what made them sound. */
  readonly notes: ReadonlyMap<How, number>;
}

/** What is allowed from now on. */
export type Allowance =
  | { readonly wish: Wish }
  | { readonly joins: number; readonly mix: SeatMix; readonly most: number }
  | { readonly leaves: number }
  /** How many notes of a seat may sound at once. */
  | { readonly seat: number; readonly most: number };

type Told = Pick<Mix, 'level' | 'pan' | 'sound' | 'lead'>;

interface Limits {
  readonly room: number;
  readonly seats: readonly number[];
  readonly audible: readonly boolean[];
}

export function promises(room: RoomPlan, mostBySeat: readonly number[]): Promises {
  const open = new Map<number, VoiceOn>();
  let broken: string | null = null;
  const notes = new Map<How, number>();
  let lastVoice = 0;
  let lastTime = 0;
  let slurring: VoiceOff | null = null;
  /** By slot; null where nobody plays. */
  let mixes: (SeatMix | null)[] = room.mixes.map((mix) => ({ ...mix }));
  /** By slot, what engines were told of it; undefined while nobody plays there, by what they were told. */
  const told: (Told | 'joined' | undefined)[] = room.mixes.map((mix) => ({ ...mix }));
  let limits: Limits = { room: room.voices, seats: [...mostBySeat], audible: audible(mixes) };
  /** What was allowed a moment ago, while a change takes effect. */
  let before: Limits | null = null;

  const fail = (what: string): void => void (broken ??= what);
  const seatOf = (seat: number): VoiceOn[] => [...open.values()].filter((one) => one.seat === seat);

  function checkLimits(): void {
    const most = Math.max(limits.room, before?.room ?? 0);
    if (open.size > most) fail(`${String(open.size)} voices in a room of ${String(most)}`);
  }

  function checkSeat(seat: number): void {
    const most = Math.max(limits.seats[seat]!, before?.seats[seat] ?? 0);
    const own = seatOf(seat).length;
    if (own > most)
      fail(`${String(own)} notes of seat ${String(seat)}, which may have ${String(most)}`);
  }

  function onOn(event: VoiceOn): void {
    const { voice, seat, string, note, velocity, how } = event;
    notes.set(how, (notes.get(how) ?? 0) + 1);
    if (voice <= lastVoice) fail(`voice ${String(voice)} after ${String(lastVoice)}`);
    lastVoice = voice;
    if (typeof told[seat] !== 'object') fail(`slot ${String(seat)} sounds before it is mixed`);
    const other = seatOf(seat).find((one) => one.string === string);
    if (other) fail(`two notes on string ${String(string)} of seat ${String(seat)}`);
    if (!limits.audible[seat] && !before?.audible[seat])
      fail(`seat ${String(seat)} is muted and sounds`);
    if (!inRange(note, 0, 127) || !inRange(velocity, 1, 127))
      fail(`note ${String(note)}, velocity ${String(velocity)}`);
    open.set(voice, event);
    checkLimits();
    checkSeat(seat);
  }

  function onOff({ voice, seat, note, string }: VoiceOff): void {
    const on = open.get(voice);
    if (!on) fail(`voice ${String(voice)} ended that does not sound`);
    else if (on.note !== note || on.seat !== seat || on.string !== string)
      fail(`voice ${String(voice)} ended as another`);
    open.delete(voice);
  }

  function send(event: VoiceEvent): void {
    if (event.t < lastTime) fail(`time went back from ${String(lastTime)} to ${String(event.t)}`);
    lastTime = event.t;
    if (slurring) {
      const { seat, string, t } = slurring;
      const carried =
        event.type === 'on' && event.seat === seat && event.string === string && event.t === t;
      if (!carried) fail(`nothing carries on the slur of seat ${String(seat)}`);
      slurring = null;
    }
    if (event.type === 'on') onOn(event);
    else if (event.type === 'off') {
      onOff(event);
      if (event.slurred) slurring = event;
    } else if (event.type === 'silence') {
      if (open.size > 0) fail(`silence while ${String(open.size)} voices sound`);
    } else if (event.type === 'mix') {
      if (!told[event.seat]) fail(`slot ${String(event.seat)} is mixed, where nobody plays`);
      told[event.seat] = event;
    } else onSeating(event);
  }

  function onSeating({ type, seat }: Joined | Left): void {
    const joins = type === 'joined';
    if (joins === (told[seat] !== undefined)) fail(`slot ${String(seat)}: ${type} twice`);
    if (seatOf(seat).length > 0) fail(`slot ${String(seat)} sounds while its seat ${type}`);
    told[seat] = joins ? 'joined' : undefined;
  }

  function allow(change: Allowance): void {
    if ('most' in change) {
      const seats = [...limits.seats];
      seats['joins' in change ? change.joins : change.seat] = change.most;
      limits = { ...limits, seats };
    }
    if ('seat' in change) return;
    if ('wish' in change) {
      const { wish } = change;
      if (wish.type === 'room-change') limits = { ...limits, room: wish.voices ?? limits.room };
      else {
        mixes = mixes.map((mix, seat) =>
          seat === wish.seat && mix ? { ...mix, ...keysOf(wish) } : mix,
        );
      }
    } else {
      const slot = 'joins' in change ? change.joins : change.leaves;
      mixes = [...mixes];
      mixes[slot] = 'joins' in change ? change.mix : null;
    }
    limits = { ...limits, audible: audible(mixes) };
  }

  return {
    engine: { name: 'promises', send, close: () => Promise.resolve() },
    broken: () => broken,
    fail,
    restarted: () => (lastVoice = 0),
    notes,
    around(change, work) {
      before = limits;
      allow(change);
      work();
      before = null;
      checkLimits();
      for (const seat of limits.seats.keys()) checkSeat(seat);
      for (const { seat } of open.values()) {
        if (!limits.audible[seat]) fail(`seat ${String(seat)} was muted and still sounds`);
      }
    },
    still(silent) {
      for (const one of open.values()) {
        if (silent(one.seat)) fail(`seat ${String(one.seat)} still sounds: ${JSON.stringify(one)}`);
      }
      if (open.size > 0) return;
      for (const [seat, mix] of mixes.entries()) {
        const now = told[seat];
        if (!mix || typeof now !== 'object') {
          if (mix || now) fail(`slot ${String(seat)} is not as it was told`);
          continue;
        }
        const { level, pan, sound, lead } = mix;
        if (now.level !== level || now.pan !== pan || now.sound !== sound || now.lead !== lead) {
          fail(
            `seat ${String(seat)} is left at ${JSON.stringify(now)}, not ${JSON.stringify(mixes[seat])}`,
          );
        }
      }
    },
  };
}

const inRange = (value: number, least: number, most: number): boolean =>
  Number.isInteger(value) && value >= least && value <= most;

/** What a wish says of a mix. */
function keysOf(wish: Wish): Partial<SeatMix> {
  const said = Object.entries(wish).filter(([key, value]) => key in MIX && value !== undefined);
  return Object.fromEntries(said) as Partial<SeatMix>;
}

const MIX = { level: 0, pan: 0, mute: 0, solo: 0, lead: 0, sound: 0 } satisfies Record<
  keyof SeatMix,
  0
>;

/** Which seats may sound, by the words of the README: those that are not muted, and of solo ones only those. */
function audible(mixes: readonly (SeatMix | null)[]): boolean[] {
  const solo = mixes.some((mix) => mix?.solo === true);
  return mixes.map((mix) => mix !== null && !mix.mute && (mix.solo || !solo));
}
