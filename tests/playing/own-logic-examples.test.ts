import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import * as arpeggio from '../../config/logic/arpeggio.js';
import * as strum from '../../config/logic/strum.js';
import type { Answer, LogicEvent, Setup } from '../../config/logic/contract.js';
import type { Instrument } from '../../src/instrument/types.js';
import type { TouchEvent } from '../../src/pads/touch.js';
import type { NoteEvent, NoteOff, NoteOn } from '../../src/playing/note.js';
import { ownLogic } from '../../src/playing/own-logic.js';
import type { Logic } from '../../src/playing/own-logic-run.js';
import { setupOf } from '../../src/playing/own-logic-setup.js';
import { PLAIN } from '../support/bass.js';
import { shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';

interface Module<State> {
  begin(setup: Setup): State;
  step(state: State, event: LogicEvent, setup: Setup): Answer<State>;
}

/** The very module, in this thread; tests/ports plays it in one of its own. */
function logicOf<State>({ begin, step }: Module<State>): Logic {
  return {
    file: 'example.ts',
    begin(setup) {
      let state = begin(setup);
      return {
        again: (own) => void (state = begin(own)),
        step(event, own) {
          const answer = step(state, event, own);
          ({ state } = answer);
          return answer;
        },
        end: () => undefined,
      };
    },
  };
}

/** A touch of a pad by its name, with the strength told 4 ms after its onset. */
function touch(instrument: Instrument, name: string, at: number, until: number): TouchEvent[] {
  const pad = setupOf(instrument, PLAIN).pads.findIndex((one) => one?.name === name);
  expect(pad, name).toBeGreaterThanOrEqual(0);
  const strike = { strength: 0.8, onset: at, contact: at, reach: 0.8, shown: 0.8, landing: 0 };
  return [
    { type: 'onset', t: at, pad },
    { type: 'strike', t: at + 4_000, pad, ...strike },
    { type: 'loose', t: until - 1_000, pad },
    { type: 'lift', t: until, pad },
  ];
}

function play<State>(
  module: Module<State>,
  instrument: Instrument,
  ...touches: TouchEvent[][]
): { ons: NoteOn[]; offs: NoteOff[] } {
  const events = touches.flat().sort((a, b) => a.t - b.t);
  const stage = ownLogic(instrument, PLAIN, logicOf(module), (_, fault) => {
    throw new Error(fault.message);
  });
  const out: NoteEvent[] = runStage(stage, events);
  const ons = out.filter((event) => event.type === 'on');
  const offs = out.filter((event) => event.type === 'off');
  // Nothing is left sounding, though nobody silenced it.
  expect(offs).toHaveLength(ons.length);
  return { ons, offs };
}

const names = (ons: readonly NoteOn[]) => ons.map(({ note }) => Note.fromMidi(note));

describe('the strum', () => {
  const ukulele = shipped('ukulele-4x6');
  const touched = (name: string, at: number, until: number) => touch(ukulele, name, at, until);

  it('makes a C major chord of one finger on the third fret of A4 (chord named by tonal)', () => {
    const { ons } = play(
      strum,
      ukulele,
      touched('A4 fret 3', 900_000, 5_000_000),
      touched('G4 pluck', 1_000_000, 1_100_000),
    );
    expect(names(ons)).toEqual(['G4', 'C4', 'E4', 'C5']);
    expect(Chord.detect(['C4', 'E4', 'G4', 'C5'])).toContain('CM');
    expect(ons.map(({ t }) => t - 1_004_000)).toEqual([0, 18_000, 36_000, 54_000]);
    expect(ons.map(({ fret }) => fret)).toEqual([0, 0, 0, 3]);
    // Softer from string to string.
    expect(ons.map(({ velocity }) => velocity)).toEqual(
      ons.map(({ velocity }) => velocity).toSorted((a, b) => b - a),
    );
  });

  it('sweeps the other way from the other end', () => {
    const { ons } = play(strum, ukulele, touched('A4 pluck', 1_000_000, 1_100_000));
    expect(names(ons)).toEqual(['A4', 'E4', 'C4', 'G4']);
  });

  it('ends a string with its fret, and open ones after their ring', () => {
    const { ons, offs } = play(
      strum,
      ukulele,
      touched('A4 fret 3', 900_000, 2_000_000),
      touched('G4 pluck', 1_000_000, 1_100_000),
    );
    const lengths = ons.map(({ string, t }) => offs.find((off) => off.string === string)!.t - t);
    const { ring } = PLAIN.strings;
    expect(lengths).toEqual([ring, ring, ring, 2_000_000 - 1_058_000]);
  });

  it('begins again with a further pluck while it still sweeps', () => {
    const { ons } = play(
      strum,
      ukulele,
      touched('G4 pluck', 1_000_000, 1_015_000),
      touched('A4 pluck', 1_020_000, 1_100_000),
    );
    expect(names(ons)).toEqual(['G4', 'C4', 'A4', 'E4', 'C4', 'G4']);
  });
});

describe('the arpeggio', () => {
  const keys = shipped('keys-13');
  const held = (name: string, at: number, until: number) => touch(keys, name, at, until);

  it('plays what is held upwards, round and round, in a pulse that is exact', () => {
    const { ons, offs } = play(
      arpeggio,
      keys,
      ...['G4', 'C4', 'E4'].map((name) => held(name, 1_000_000, 2_000_000)),
    );
    expect(names(ons)).toEqual(['G4', 'C4', 'E4', 'G4', 'C4', 'E4', 'G4']);
    expect(ons.map(({ t }) => t)).toEqual(ons.map((_, i) => 1_000_000 + i * 150_000));
    expect(offs.map(({ t }, i) => t - ons[i]!.t)).toEqual(ons.map(() => 120_000));
  });

  it('takes up a further note at its place, and stops when the last finger leaves', () => {
    const { ons } = play(
      arpeggio,
      keys,
      held('C4', 1_000_000, 1_500_000),
      held('E4', 1_200_000, 1_700_000),
    );
    expect(names(ons)).toEqual(['C4', 'C4', 'E4', 'C4', 'E4']);
  });

  it('needs no pluck on strings', () => {
    const bass = shipped('bass-4x4');
    const { ons } = play(arpeggio, bass, touch(bass, 'E1 fret 3', 1_000_000, 1_200_000));
    expect(ons.map(({ note, string, fret }) => [note, string, fret])).toEqual([
      [31, 3, 3],
      [31, 3, 3],
    ]);
  });
});
