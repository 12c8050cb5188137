import { MILLISECOND, NEVER, type Micros } from '../time/micros.js';
import type { Stage } from '../time/stage.js';
import type { RoomChange } from './change.js';
import { EMPTY, type RoomPlan } from './plan.js';
import type { Mix, VoiceEvent } from './voice.js';

/**
 * The others come back up this long after a lead's last note has ended, so that they do not go up
 * and down between the notes of one tune. Common practice for a compressor's release, no source.
 */
export const RECOVERY: Micros = 300 * MILLISECOND;

type SeatState = Pick<Mix, 'level' | 'pan' | 'sound' | 'lead'>;

export interface DuckState {
  /** By slot, as people have set them; `EMPTY` where nobody plays. */
  readonly seats: SeatState[];
  /** How many voices of each slot sound. */
  readonly sounding: number[];
  /** What the others are turned down by: a factor on the amplitude. */
  factor: number;
  /** The others are down. */
  down: boolean;
  /** When they come back up, where no lead sounds any more. */
  up: Micros;
}

/** The factor on the amplitude that turns down by `duck` dB: 10^(−duck / 20). */
export function duckFactor(duck: number): number {
  return 10 ** (-duck / 20);
}

/**
 * voices → voices: turns the other seats down while a lead sounds, by `mix` events that go out after
 * the lead's own note, so that it does not wait for them. Leads do not turn each other down.
 */
export function duck(room: RoomPlan): Stage<DuckState, VoiceEvent | RoomChange, VoiceEvent> {
  const heard = (state: DuckState, seat: number): number =>
    state.down && !state.seats[seat]!.lead
      ? state.seats[seat]!.level * state.factor
      : state.seats[seat]!.level;

  function mixOf(state: DuckState, t: Micros, seat: number): Mix {
    return { type: 'mix', t, seat, ...state.seats[seat]!, level: heard(state, seat) };
  }

  /** Does what may change levels, and tells of each that is another now. */
  function retell(state: DuckState, t: Micros, change: () => void, out: VoiceEvent[]): void {
    const before = state.seats.map((_, seat) => heard(state, seat));
    change();
    for (const [seat, level] of before.entries()) {
      if (state.seats[seat] === EMPTY) continue;
      if (heard(state, seat) !== level) out.push(mixOf(state, t, seat));
    }
  }

  /** Down at once where a lead sounds; where none does, up after `recovery`. */
  function follow(state: DuckState, t: Micros, recovery: Micros): void {
    if (state.seats.some(({ lead }, seat) => lead && state.sounding[seat]! > 0)) {
      state.down = true;
      state.up = NEVER;
    } else if (state.down && state.up === NEVER) {
      if (recovery > 0) state.up = t + recovery;
      else state.down = false;
    }
  }

  function onVoice(state: DuckState, event: VoiceEvent, out: VoiceEvent[]): void {
    const { t } = event;
    if (event.type === 'mix') {
      onMix(state, event, out);
      return;
    }
    out.push(event);
    let moves = true;
    if (event.type === 'silence') state.sounding.fill(0);
    else if (event.type === 'joined') {
      // Its mix comes next.
      clear(state, event.seat);
      moves = false;
    } else if (event.type === 'left') {
      const change = (): void => {
        clear(state, event.seat);
        follow(state, t, 0);
      };
      retell(state, t, change, out);
      moves = false;
    } else {
      state.sounding[event.seat]! += event.type === 'on' ? 1 : -1;
      moves = state.seats[event.seat]!.lead;
    }
    if (moves) retell(state, t, () => follow(state, t, RECOVERY), out);
  }

  /** Nobody plays there. */
  function clear(state: DuckState, slot: number): void {
    while (state.seats.length < slot) {
      state.seats.push(EMPTY);
      state.sounding.push(0);
    }
    state.seats[slot] = EMPTY;
    state.sounding[slot] = 0;
  }

  /** A seat that stops leading was no tune that came to its end: the others are up again at once. */
  function onMix(state: DuckState, event: Mix, out: VoiceEvent[]): void {
    const { t, seat, level, pan, sound, lead } = event;
    const others: VoiceEvent[] = [];
    const change = (): void => {
      state.seats[seat] = { level, pan, sound, lead };
      follow(state, t, 0);
    };
    retell(state, t, change, others);
    out.push(mixOf(state, t, seat));
    for (const other of others) if ('seat' in other && other.seat !== seat) out.push(other);
  }

  return {
    name: 'duck',
    begin: () => ({
      seats: room.mixes.map((mix): SeatState => {
        const { level, pan, sound, lead } = mix;
        return mix === EMPTY ? EMPTY : { level, pan, sound, lead };
      }),
      sounding: room.mixes.map(() => 0),
      factor: duckFactor(room.duck),
      down: false,
      up: NEVER,
    }),
    step(state, event) {
      const out: VoiceEvent[] = [];
      const { t } = event;
      if (event.type === 'wake') {
        if (state.up <= t) {
          state.up = NEVER;
          retell(state, t, () => (state.down = false), out);
        }
      } else if (event.type === 'room-change') {
        const { duck: by } = event;
        if (by !== undefined) retell(state, t, () => (state.factor = duckFactor(by)), out);
      } else onVoice(state, event, out);
      return { state, out, wake: state.up };
    },
  };
}
