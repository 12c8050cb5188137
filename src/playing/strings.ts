import type { Rules, StringsInstrument } from '../instrument/types.js';
import type { TouchEvent } from '../pads/touch.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { Outcome, Stage } from '../time/stage.js';
import type { NoteEvent } from './note.js';
import { stringPlayer, type StringPlay } from './string.js';

/** What a pad is for: `fret` counts from 1, and 0 is the pluck pad. */
interface Role {
  readonly string: number;
  readonly fret: number;
}

export interface StringsState {
  readonly strings: StringPlay[];
}

/** Which pad is which fret or pluck pad, by pad number. */
export function stringRoles(instrument: StringsInstrument): readonly (Role | undefined)[] {
  const roles: (Role | undefined)[] = [];
  instrument.strings.forEach((string, index) => {
    string.frets.forEach((pad, i) => (roles[pad] = { string: index, fret: i + 1 }));
    roles[string.pluck] = { string: index, fret: 0 };
  });
  return roles;
}

/** touches → notes, for instruments whose strings are stopped by frets and sounded by plucks. */
export function strings(
  instrument: StringsInstrument,
  rules: Pick<Rules, 'strings' | 'velocity'>,
): Stage<StringsState, TouchEvent, NoteEvent> {
  const roles = stringRoles(instrument);
  const players = instrument.strings.map((string, i) => stringPlayer(i, string.open, rules));

  function earliest(state: StringsState): Micros {
    let wake = NEVER;
    for (const play of state.strings) wake = Math.min(wake, play.due, play.damp);
    return wake;
  }

  function touched(
    state: StringsState,
    event: Exclude<TouchEvent, { type: 'reset' }>,
    out: NoteEvent[],
  ): void {
    const role = roles[event.pad];
    if (!role) return;
    const { t } = event;
    const player = players[role.string]!;
    const play = state.strings[role.string]!;
    switch (event.type) {
      case 'onset':
        if (role.fret === 0) player.pressPluck(play, t);
        else player.pressFret(play, t, role.fret, out);
        return;
      case 'strike':
        if (role.fret === 0) player.pluck(play, t, event.strength, out);
        else player.strikeFret(play, t, role.fret, event.strength, out);
        return;
      case 'lift':
        if (role.fret === 0) player.liftPluck(play);
        else player.liftFret(play, t, role.fret, out);
        return;
    }
  }

  return {
    name: 'strings',
    begin: () => ({ strings: players.map((player) => player.begin()) }),
    step(state, event): Outcome<StringsState, NoteEvent> {
      const out: NoteEvent[] = [];
      switch (event.type) {
        case 'wake':
          players.forEach((player, i) => {
            player.wake(state.strings[i]!, event.t, out);
          });
          break;
        case 'reset':
          players.forEach((player, i) => {
            player.reset(state.strings[i]!, event.t, out);
          });
          out.push(event);
          break;
        default:
          touched(state, event, out);
      }
      return { state, out, wake: earliest(state) };
    },
  };
}
