import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseRules } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { MILLISECOND } from '../../src/time/micros.js';
import { checkScore } from './check-score.js';
import { measure, ownBuild, ownNotes, summary } from './measuring.js';
import { simulate, type SimSession } from './session.js';
import { mean } from './statistics.js';
import { TUNES } from './tunes.js';

/*
 * The rules `legato` for players who get a fret ready 30 to 120 ms before they pluck it (fretting.ts),
 * and for players who hammer on wherever a tune rises on a sounding string.
 */

const file = 'config/rules/legato.yaml';
const LEGATO = parseRules(readFileSync(file, 'utf8'), file);
const AT_ONCE: Rules = { ...LEGATO, strings: { ...LEGATO.strings, 'wait-for-pluck': 'never' } };

const sessions = (hammer: number): SimSession[] =>
  TUNES.map((tune) => simulate({ grade: 'usual', seed: 1, player: { hammer } }, tune));

describe('legato rules', { timeout: 120_000 }, () => {
  it('sound each note once for who frets and then plucks', () => {
    const plucked = sessions(0);
    const waits = plucked.map((session) => measure(session, LEGATO));
    // One hammer-on, one pull-off and one slide show that this player plucks after each.
    for (const { added, missed } of waits) expect([missed, added <= 3]).toEqual([0, true]);
    expect(summary(waits).f).toBeGreaterThan(0.97);
    expect(summary(plucked.map((session) => measure(session, AT_ONCE))).f).toBeLessThan(0.9);
  });

  it('sound hammer-ons at once for who hammers on', () => {
    const hammered = sessions(1).flatMap((session) => {
      const notes = ownNotes(session, ownBuild(session).build, LEGATO);
      return checkScore(session.wanted, notes)
        .pairs.filter(([, j]) => notes[j]!.how === 'hammer')
        .map(([i, j]) => notes[j]!.t - session.wanted[i]!.t);
    });
    expect(hammered.length).toBeGreaterThan(30);
    expect(mean(hammered)).toBeLessThan(12 * MILLISECOND);
  });
});
