import { describe, expect, it } from 'vitest';
import { TOUCH_TABLE } from '../../src/pads/touch-table.js';
import { touches } from '../../src/pads/touches.js';
import type { LevelEvent, TouchEvent } from '../../src/pads/touch.js';
import { PLAIN } from '../support/bass.js';
import { runStage } from '../support/run-stage.js';

const level = (t: number, ...levels: number[]): LevelEvent => ({
  type: 'levels',
  t,
  pads: levels.map((_, pad) => pad),
  levels,
  noise: levels.map(() => 0),
});
const reset = (t: number): LevelEvent => ({ type: 'reset', t, why: 'silence' });
const brief = (event: TouchEvent): unknown[] =>
  event.type === 'reset'
    ? [event.t, 'reset']
    : event.type === 'strike'
      ? [event.t, 'strike', event.pad, Number(event.strength.toFixed(2))]
      : [event.t, event.type, event.pad];

const play = (events: LevelEvent[], rules = PLAIN, pads = 2): unknown[] =>
  runStage(touches({ pads, decided: false }, rules), events).map(brief);

describe('touches', () => {
  it('begins at once, tells the strength with the next reading, and lifts after the wait', () => {
    const heard = play([
      level(0, 0, 0),
      level(4_000, 0.6, 0),
      level(8_000, 0.8, 0),
      level(12_000, 0.9, 0),
      level(16_000, 0, 0),
    ]);
    // Strength: 0.8 is three fifths of the way from the threshold 0.5 to a full touch.
    expect(heard).toEqual([
      [4_000, 'onset', 0],
      [8_000, 'strike', 0, 0.6],
      [28_000, 'lift', 0],
    ]);
  });

  it('does not wait for a further reading longer than told', () => {
    const heard = play([level(0, 0), level(4_000, 0.75)], PLAIN, 1);
    expect(heard).toEqual([
      [4_000, 'onset', 0],
      [10_000, 'strike', 0, 0.5],
    ]);
  });

  it('takes the strength of the very first reading where it shall not wait', () => {
    const rules = { ...PLAIN, strength: { readings: 0, within: 6_000 } };
    expect(play([level(0, 0), level(4_000, 1)], rules, 1)).toEqual([
      [4_000, 'onset', 0],
      [4_000, 'strike', 0, 1],
    ]);
  });

  it('tells strengths after all onsets of a scan, whichever pad comes first', () => {
    const rules = { ...PLAIN, strength: { readings: 0, within: 6_000 } };
    expect(play([level(0, 0, 0), level(4_000, 1, 1)], rules)).toEqual([
      [4_000, 'onset', 0],
      [4_000, 'onset', 1],
      [4_000, 'strike', 0, 1],
      [4_000, 'strike', 1, 1],
    ]);
  });

  it('is one touch while the level flickers between the thresholds or bounces briefly', () => {
    const heard = play(
      [
        level(0, 0),
        level(4_000, 0.6),
        level(8_000, 0.45),
        level(12_000, 0.55),
        level(16_000, 0.1),
        level(20_000, 0.6),
        level(24_000, 0.1),
      ],
      PLAIN,
      1,
    );
    expect(heard.map((event) => (event as unknown[])[1])).toEqual(['onset', 'strike', 'lift']);
    expect(heard.at(-1)).toEqual([36_000, 'lift', 0]);
  });

  it('tells the strength of a tap that is over before it is known, then lifts', () => {
    const heard = play([level(0, 0), level(4_000, 0.9), level(8_000, 0)], PLAIN, 1);
    expect(heard).toEqual([
      [4_000, 'onset', 0],
      [8_000, 'strike', 0, 0.8],
      [20_000, 'lift', 0],
    ]);
  });

  it('does not begin with a pad that was never seen at rest', () => {
    expect(play([level(0, 0.9), level(4_000, 0.9)], PLAIN, 1)).toEqual([]);
    expect(play([level(0, 0.9), level(4_000, 0.1), level(8_000, 0.9)], PLAIN, 1)[0]).toEqual([
      8_000,
      'onset',
      0,
    ]);
  });

  it('wants a pad lifted once more after everything was ended', () => {
    const heard = play(
      [
        level(0, 0),
        level(4_000, 0.9),
        reset(5_000),
        level(8_000, 0.9),
        level(12_000, 0),
        level(16_000, 0.9),
      ],
      PLAIN,
      1,
    );
    expect(heard.slice(0, 3)).toEqual([
      [4_000, 'onset', 0],
      [5_000, 'reset'],
      [16_000, 'onset', 0],
    ]);
  });

  it('has an answer to every signal in every state, and leaves none without a way out', () => {
    const states = Object.keys(TOUCH_TABLE);
    for (const [state, row] of Object.entries(TOUCH_TABLE)) {
      expect(Object.keys(row).sort()).toEqual(
        ['above', 'below', 'between', 'heard', 'reset', 'waited'].sort(),
      );
      expect(Object.values(row).some(({ to }) => to !== state)).toBe(true);
      for (const { to } of Object.values(row)) expect(states).toContain(to);
    }
  });
});
