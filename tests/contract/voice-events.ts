import fc from 'fast-check';
import type { Kind } from '../../src/instrument/types.js';
import type { VoiceEvent, VoiceOff, VoiceOn } from '../../src/room/voice.js';
import type { SeatSound } from '../../src/engine/seat-sound.js';

interface Move {
  readonly wait: number;
  readonly act: 'pluck' | 'slur' | 'end' | 'silence' | 'mix' | 'join' | 'leave';
  readonly seat: number;
  readonly string: number;
  readonly note: number;
  readonly velocity: number;
  readonly strength: number;
  readonly mix: { readonly level: number; readonly pan: number; readonly sound: number };
  /** What joins. */
  readonly kind: Kind;
  readonly strings: number;
}

const level = fc.oneof(fc.constantFrom(0, 0.5, 0.8, 1), fc.double({ min: 0, max: 1, noNaN: true }));
const pan = fc.oneof(fc.constantFrom(-1, 0, 1), fc.double({ min: -1, max: 1, noNaN: true }));
/** Few sounds as well as many, so that channels can be shared by seats of one sound. */
const sound = fc.oneof(
  { weight: 5, arbitrary: fc.integer({ min: 1, max: 6 }) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: 128 }) },
);
const kind = fc.constantFrom<Kind>('strings', 'strings', 'strings', 'keys', 'holes', 'hits');

/** Seats as a room file may have them: 1 to 20, so that MIDI channels run out now and then. */
export const anySeats = (most = 20): fc.Arbitrary<SeatSound[]> =>
  fc
    .array(
      fc.record({
        sound,
        level,
        pan,
        kind,
        strings: fc.integer({ min: 1, max: 6 }),
      }),
      { minLength: 1, maxLength: most, size: 'max' },
    )
    .map((seats) =>
      seats.map((seat, i) => ({
        name: `seat ${String(i + 1)}`,
        ...seat,
        strings: seat.kind === 'strings' ? seat.strings : 1,
      })),
    );

/** How many notes a seat has at once: keys and drum pads count as a string each, a pipe as one. */
function soundersOf({ kind, strings }: SeatSound): number {
  return kind === 'keys' || kind === 'hits' ? 6 : strings;
}

/**
 * What a room may send, by the contract of room/voice.ts: voices count up, a string is silent before
 * its on, each voice ends once, a slurred off is followed at once by the on of the same string, and
 * every voice has its own off before a silence. Few notes, so that pitches meet.
 *
 * @param newSounds whether mixes change the seats' sounds too
 * @param slots where seats join and leave too: how many slots there are
 */
export function anyVoices(
  seats: readonly SeatSound[],
  newSounds = true,
  slots = 0,
): fc.Arbitrary<VoiceEvent[]> {
  const plays = [
    'pluck',
    'pluck',
    'pluck',
    'slur',
    'slur',
    'end',
    'end',
    'mix',
    'silence',
  ] as const;
  const move: fc.Arbitrary<Move> = fc.record({
    wait: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 2_000_000 })),
    act: fc.constantFrom<Move['act']>(...plays, ...(slots > 0 ? (['join', 'leave'] as const) : [])),
    seat: fc.nat({ max: Math.max(slots, seats.length) - 1 }),
    string: fc.nat({ max: 5 }),
    note: fc.oneof(fc.integer({ min: 40, max: 44 }), fc.integer({ min: 0, max: 127 })),
    velocity: fc.integer({ min: 1, max: 127 }),
    strength: fc.double({ min: 0, max: 1, noNaN: true }),
    mix: fc.record({ level, pan, sound }),
    kind,
    strings: fc.integer({ min: 1, max: 6 }),
  });
  return fc
    .array(move, { maxLength: 80, ...(slots > 0 ? { size: 'max' } : {}) })
    .map((moves) => play(seats, moves, newSounds));
}

function play(
  first: readonly SeatSound[],
  moves: readonly Move[],
  newSounds: boolean,
): VoiceEvent[] {
  const events: VoiceEvent[] = [];
  const sounding = new Map<string, VoiceOn>();
  let t = 0;
  let voice = 0;
  const seats: (SeatSound | null)[] = [...first];

  function leave(seat: number): void {
    if (!seats[seat]) return;
    for (const open of [...sounding.keys()])
      if (open.startsWith(`${String(seat)}/`)) end(open, false);
    seats[seat] = null;
    events.push({ type: 'left', t, seat });
  }

  function join(seat: number, own: SeatSound): void {
    leave(seat);
    seats[seat] = own;
    events.push({ type: 'joined', t, seat, sound: own });
    const { level, pan, sound } = own;
    events.push({ type: 'mix', t, seat, level, pan, sound, lead: false });
  }

  function end(key: string, slurred: boolean): void {
    const on = sounding.get(key);
    if (!on) return;
    sounding.delete(key);
    const { seat, note, string } = on;
    const off: VoiceOff = { type: 'off', t, voice: on.voice, seat, note, string, slurred };
    events.push(off);
  }

  for (const { wait, act, seat, note, velocity, strength, ...move } of moves) {
    t += wait;
    if (act === 'leave') {
      leave(seat);
      continue;
    }
    if (act === 'join') {
      const strings = move.kind === 'strings' ? move.strings : 1;
      join(seat, { name: `from ${String(t)}`, kind: move.kind, strings, ...move.mix });
      continue;
    }
    if (!seats[seat]) continue;
    const string = move.string % soundersOf(seats[seat]);
    const key = `${String(seat)}/${String(string)}`;
    if (act === 'silence') {
      for (const open of [...sounding.keys()]) end(open, false);
      events.push({ type: 'silence', t });
      continue;
    }
    if (act === 'mix') {
      const own = newSounds ? {} : { sound: seats[seat].sound };
      events.push({ type: 'mix', t, seat, ...move.mix, ...own, lead: false });
      continue;
    }
    const slurred = act === 'slur' && sounding.has(key);
    end(key, slurred);
    if (act === 'end') continue;
    const how = slurred ? 'slide' : 'pluck';
    voice++;
    const on: VoiceOn = {
      type: 'on',
      t,
      voice,
      seat,
      note,
      velocity,
      strength,
      string,
      fret: note % 5,
      how,
    };
    sounding.set(key, on);
    events.push(on);
  }
  return events;
}

/** Seats together with what they play. */
export const anyRoom = (
  most?: number,
  newSounds?: boolean,
): fc.Arbitrary<{ seats: SeatSound[]; events: VoiceEvent[] }> =>
  anySeats(most).chain((seats) => anyVoices(seats, newSounds).map((events) => ({ seats, events })));

/** The same, where seats join and leave too. */
export const anyChangingRoom = (
  most = 20,
  newSounds = false,
): fc.Arbitrary<{ seats: SeatSound[]; events: VoiceEvent[] }> =>
  anySeats(6).chain((seats) =>
    anyVoices(seats, newSounds, most).map((events) => ({ seats, events })),
  );
