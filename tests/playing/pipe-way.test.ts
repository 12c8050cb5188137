import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseInstrument } from '../../src/instrument/instrument.js';
import type { HolesInstrument, Rules } from '../../src/instrument/types.js';
import type { VoiceOn } from '../../src/room/voice.js';
import { rerun } from '../../src/takes/rerun.js';
import { MILLISECOND, SECOND } from '../../src/time/micros.js';
import { PLAIN } from '../support/bass.js';
import { bounced } from '../sim/contact.js';
import type { GradeName } from '../sim/grades.js';
import { randomOf } from '../sim/random.js';
import { scansOf, type Sampling } from '../sim/readings.js';
import { buildUnit, FULL, trueBuild } from '../sim/unit.js';
import { pipeBody, playPipe, type HandsOptions, type MeantNote } from './pipe-hands.js';

function shipped(name: string): HolesInstrument {
  const file = new URL(`../../config/instruments/${name}.yaml`, import.meta.url);
  return parseInstrument(readFileSync(file, 'utf8'), name) as HolesInstrument;
}
const PIPE = shipped('pipe-8');
const FINGERED = shipped('pipe-8-finger');

/** Set the variable to try another one. */
const SEED = Number(process.env['PLUCKWORK_SEED'] ?? 1);
const CHANGES = 1_000;
const APART = 40 * MILLISECOND;

interface Heard {
  readonly meant: readonly MeantNote[];
  readonly ons: readonly VoiceOn[];
  readonly ended: number;
}

/** The whole way from raw readings of a simulated unit: levels, touches, fingering, voices. */
function play(
  grade: GradeName,
  mouth: HandsOptions['mouth'],
  seed: number,
  rules: Rules = PLAIN,
  sampling: Partial<Sampling> = {},
  instrument = PIPE,
): Heard {
  const { contacts, meant, length } = playPipe(instrument, seed, {
    changes: CHANGES,
    apart: APART,
    mouth,
  });
  const unit = buildUnit(grade, seed, pipeBody(instrument));
  const bounce = grade === 'clean' ? 0 : 0.4;
  const bouncing = randomOf(seed, 'pipe/bounce');
  const stretch = {
    label: 'pipe',
    contacts: contacts.map((contact) => bounced(contact, bounce, bouncing)),
    length,
    begins: 60 * SECOND,
  };
  const pads = { pads: unit.pads, build: trueBuild(unit, 60), full: FULL, decided: false };
  const ons: VoiceOn[] = [];
  let ended = 0;
  rerun(scansOf(unit, stretch, sampling), { instrument, rules, pads }, (_seat, _t, error) => {
    throw error as Error;
  }).subscribe((event) => {
    if (event.type === 'on') ons.push(event);
    if (event.type === 'off') ended += 1;
  });
  return { meant, ons, ended };
}

/** What was heard between one change and the next, beside what was meant there. */
function byChange({ meant, ons }: Heard): { meant: string; heard: string }[] {
  let next = 0;
  return meant.map(({ note, blown }, i) => {
    const until = meant[i + 1]?.t ?? Infinity;
    const heard: string[] = [];
    while (ons[next] && ons[next]!.t < until) {
      const { note: sounded, how } = ons[next]!;
      heard.push(`${String(sounded)} ${how}`);
      next += 1;
    }
    return { meant: `${String(note)} ${blown ? 'blow' : 'finger'}`, heard: heard.join(', ') };
  });
}

const wrong = (heard: Heard) =>
  byChange(heard).filter(({ meant, heard: sounded }) => meant !== sounded);

describe(`a thousand random changes of fingering, the fingers up to 40 ms apart (seed ${String(SEED)})`, () => {
  it('does what it says: many fingers move, and they use all of the 40 ms', () => {
    const { contacts, meant } = playPipe(PIPE, SEED, {
      changes: CHANGES,
      apart: APART,
      mouth: 'again',
    });
    expect(meant).toHaveLength(CHANGES);
    let widest = 0;
    let fingers = 0;
    const moves = contacts.flatMap(({ at, until }) => [at, until]).sort((a, b) => a - b);
    let next = 0;
    for (const { t } of meant) {
      while (moves[next]! < t) next += 1;
      const first = next;
      while (moves[next]! <= t + APART) next += 1;
      fingers += next - first - 1;
      widest = Math.max(widest, moves[next - 1]! - moves[first]!);
    }
    expect(widest).toBe(APART);
    expect(fingers / CHANGES).toBeGreaterThan(3);
  });

  describe.each(['clean', 'usual'] as const)('on a %s unit', (grade) => {
    it.each(['held', 'again'] as const)(
      'with the mouth %s: each note that was meant sounds once, and no other',
      (mouth) => {
        for (const seed of [SEED, SEED + 1_000]) {
          const heard = play(grade, mouth, seed);
          expect(wrong(heard), `seed ${String(seed)}`).toEqual([]);
          expect(heard.ons).toHaveLength(CHANGES);
          expect(heard.ended).toBe(CHANGES);
        }
      },
    );
  });

  it('also on a pipe without a mouth, whose fingers sound it', () => {
    for (const mouth of ['held', 'again'] as const) {
      expect(wrong(play('usual', mouth, SEED, PLAIN, {}, FINGERED)), mouth).toEqual([]);
    }
  });

  it('also where the board scans 200 times a second only', () => {
    for (const mouth of ['held', 'again'] as const) {
      expect(wrong(play('usual', mouth, SEED, PLAIN, { rate: 200 }))).toEqual([]);
    }
  });

  it('needs the settling time: with 30 ms of it, notes sound that were not meant', () => {
    const hasty: Rules = { ...PLAIN, holes: { ...PLAIN.holes, settle: 30 * MILLISECOND } };
    for (const mouth of ['held', 'again'] as const) {
      expect(wrong(play('clean', mouth, SEED, hasty)).length).toBeGreaterThan(20);
    }
  });

  it('answers within the settling time, the lifting of a finger and two scans', () => {
    const { meant, ons } = play('clean', 'held', SEED);
    const waits = ons.map(({ t }, i) => t - meant[i]!.t).sort((a, b) => a - b);
    // From when the first finger moves, the last one up to 40 ms later.
    expect(waits.at(-1)).toBeLessThanOrEqual(APART + PLAIN.holes.settle + 9_000 + 8_000);
  });
});
