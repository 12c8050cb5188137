import { describe, expect, it } from 'vitest';
import { printedOrder } from '../../src/instrument/instrument-pads.js';
import type { Instrument } from '../../src/instrument/types.js';
import { levels } from '../../src/pads/levels.js';
import { touches } from '../../src/pads/touches.js';
import { seatWay } from '../../src/pipeline.js';
import type { NoteOn } from '../../src/playing/note.js';
import { PLAIN } from '../../src/instrument/rules.js';
import { screenUnit } from '../../src/demo/screen-unit.js';
import { chain } from '../../src/time/chain.js';
import type { Scan } from '../../src/wire/scan.js';
import { planOf, shipped } from '../support/kinds.js';
import { runStage } from '../support/run-stage.js';
import { FULL, playedScans, screenPlayer } from '../support/screen-player.js';

const SHIPPED = ['bass-4x4', 'ukulele-4x6', 'keys-13', 'pipe-8', 'pipe-8-finger', 'drums-6'];
const STRENGTHS = [0, 0.25, 0.5, 0.75, 1];
/** Touches that show a pad's span, before which it plays at a middle strength. */
const SHOWING = [0.75, 0.75, 0.75];

/** The notes of a unit that is calibrated as it starts. */
function notesOf(instrument: Instrument, scans: readonly Scan[]): NoteOn[] {
  const out = runStage(seatWay(planOf(instrument)), scans);
  return out.filter((event): event is NoteOn => event.type === 'on');
}

/** How hard each touch seemed to be, by pad, calibrated as it starts. */
function strengthsOf(instrument: Instrument, scans: readonly Scan[]): Map<number, number[]> {
  const { pads } = planOf(instrument);
  const way = chain('pads', levels(pads, PLAIN), touches(pads, PLAIN));
  const found = new Map<number, number[]>();
  for (const event of runStage(way, scans)) {
    if (event.type !== 'strike') continue;
    found.set(event.pad, [...(found.get(event.pad) ?? []), event.strength]);
  }
  return found;
}

const rises = (values: readonly number[]): boolean =>
  values.every((value, i) => i === 0 || value > values[i - 1]!);

describe('a unit on the page', () => {
  it.each(SHIPPED)('tells five strengths apart on every pad of %s, once three touches have shown its span', (name) => {
    const instrument = shipped(name);
    const scans = playedScans(instrument, (player) => {
      for (const pad of printedOrder(instrument)) {
        for (const strength of [...SHOWING, ...STRENGTHS]) player.tap(pad, strength);
      }
    });
    const found = strengthsOf(instrument, scans);
    for (const pad of printedOrder(instrument)) {
      const all = found.get(pad) ?? [];
      expect(all, `pad ${String(pad)}`).toHaveLength(SHOWING.length + STRENGTHS.length);
      const strengths = all.slice(SHOWING.length);
      expect(rises(strengths.slice(0, 4)), `pad ${String(pad)}: ${strengths.join(' ')}`).toBe(true);
      expect(strengths[4]).toBeGreaterThanOrEqual(strengths[3]!);
      expect(strengths[0]).toBeLessThan(0.25);
      expect(strengths[4]).toBeGreaterThan(0.6);
    }
  });

  it.each(['bass-4x4', 'ukulele-4x6', 'keys-13', 'drums-6'])(
    'gives %s notes that grow louder with the strength',
    (name) => {
      const instrument = shipped(name);
      const sounding =
        instrument.kind === 'strings'
          ? instrument.strings.map(({ pluck }) => pluck)
          : printedOrder(instrument);
      const scans = playedScans(instrument, (player) => {
        for (const pad of sounding) {
          for (const strength of [...SHOWING, ...STRENGTHS]) player.tap(pad, strength);
        }
      });
      const notes = notesOf(instrument, scans);
      const each = SHOWING.length + STRENGTHS.length;
      expect(notes).toHaveLength(sounding.length * each);
      sounding.forEach((_, i) => {
        const own = notes.slice(each * i + SHOWING.length, each * (i + 1)).map(({ velocity }) => velocity);
        expect(rises(own.slice(0, 4)), own.join(' ')).toBe(true);
        expect(own[4]).toBeGreaterThanOrEqual(own[3]!);
        expect(own[4]! - own[0]!).toBeGreaterThan(50);
      });
    },
  );

  it.each(['carefully', 'hastily'] as const)(
    'sounds nothing in ten minutes in which nobody touches it, built %s',
    (built) => {
      const instrument = shipped('bass-4x4');
      const way = seatWay(planOf(instrument));
      let state = way.begin();
      let notes = 0;
      const player = screenPlayer(
        instrument,
        (scan) => {
          const outcome = way.step(state, scan);
          state = outcome.state;
          notes += outcome.out.filter(({ type }) => type === 'on').length;
        },
        { built },
      );
      player.wait(600_000);
      expect(notes).toBe(0);
    },
  );

  it('sounds the pitch of a held fret', () => {
    const instrument = shipped('bass-4x4');
    if (instrument.kind !== 'strings') throw new Error('bass-4x4 has no strings');
    const scans = playedScans(instrument, (player) => {
      for (const { frets, pluck } of instrument.strings) {
        for (const fret of frets) {
          player.press(fret, 0.6);
          player.wait(120);
          player.tap(pluck);
          player.release(fret);
          player.wait(200);
        }
      }
    });
    // Open plus four frets on four strings are MIDI 28 to 47; computed from the tuning.
    const frets = [1, 2, 3, 4];
    expect(notesOf(instrument, scans).map(({ note }) => note)).toEqual(
      [43, 38, 33, 28].flatMap((open) => frets.map((fret) => open + fret)),
    );
  });

  it('sounds three keys at once', () => {
    const instrument = shipped('keys-13');
    if (instrument.kind !== 'keys') throw new Error('keys-13 has no keys');
    const chord = [0, 4, 7].map((i) => instrument.keys[i]!);
    const scans = playedScans(instrument, (player) => {
      for (const { pad } of chord) player.press(pad, 0.6);
      player.wait(400);
      for (const { pad } of chord) player.release(pad);
      player.wait(100);
    });
    const notes = notesOf(instrument, scans).map(({ note }) => note);
    expect(notes.sort((a, b) => a - b)).toEqual(chord.map(({ note }) => note));
  });

  it('sounds the pitch of each fingering of a pipe', () => {
    const instrument = shipped('pipe-8');
    if (instrument.kind !== 'holes') throw new Error('pipe-8 has no holes');
    const { holes, mouth, fingerings } = instrument;
    const scans = playedScans(instrument, (player) => {
      for (const { holes: states } of fingerings) {
        const closed = holes.filter((_, i) => states[i] === 'closed');
        for (const pad of closed) player.press(pad, 0.6);
        player.wait(150);
        player.tap(mouth!, 0.6, 300);
        for (const pad of closed) player.release(pad);
        player.wait(200);
      }
    });
    const notes = notesOf(instrument, scans);
    expect(notes.map(({ note }) => note)).toEqual(fingerings.map(({ note }) => note));
    expect(notes.every(({ how }) => how === 'blow')).toBe(true);
  });

  it('is the same unit for the same name, and another one for another', () => {
    const instrument = shipped('keys-13');
    const play = (name: string): Scan[] =>
      playedScans(instrument, (player) => player.tap(3), { name });
    expect(play('north')).toEqual(play('north'));
    expect(play('north')).not.toEqual(play('south'));
  });

  it('has its wires in any order where they are mixed, each once', () => {
    const order = printedOrder(shipped('bass-4x4'));
    const { wiring } = screenUnit('a', order, FULL, { built: 'carefully', wires: 'mixed' });
    expect([...wiring].sort((a, b) => a - b)).toEqual([...order].sort((a, b) => a - b));
    expect(wiring.filter((pad, input) => pad === input).length).toBeLessThan(6);
  });

  it('built hastily, has a dead pad and one whose signal is under five times its noise', () => {
    const order = printedOrder(shipped('bass-4x4'));
    const unit = screenUnit('a', order, FULL, { built: 'hastily', wires: 'straight' });
    // Peak to peak is about five deviations in a hundred normal readings (memory).
    const ratios = unit.span.map((span, pad) => span / (5 * unit.sigma[pad]!));
    expect(ratios.filter((ratio) => ratio === 0)).toHaveLength(1);
    expect(ratios.filter((ratio) => ratio > 0 && ratio < 5)).toHaveLength(1);
  });
});
