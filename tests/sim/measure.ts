import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { parseRules } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { BASS } from '../support/bass.js';
import { checkScore } from './check-score.js';
import { GRADE_NAMES, type GradeName } from './grades.js';
import { measure, ownBuild, ownNotes, summary, type Measured, type Summary } from './measuring.js';
import { OTHER_NAMES, OTHERS, type OtherName } from './others.js';
import { simulate, type SimSession } from './session.js';
import { randomTune, type Tune } from './tune.js';
import { TUNES } from './tunes.js';
import { trueBuild } from './unit.js';
import { fixedThreshold, toldTheTruth } from './yardsticks.js';

const help = `Measures the whole way on simulated units: npx tsx tests/sim/measure.ts [OPTIONS]

  --grade NAME      clean, usual or worst (all three)
  --seeds N         how many units and players (10)
  --first N         the first seed (1)
  --tune WORDS      only tunes whose name holds these words
  --random N        N tunes that nobody made besides (0)
  --other NAME      another sensor or player, or "all": ${OTHER_NAMES.join(', ')}
  --rules FILE      a rules file (config/rules/plain.yaml)
  --readings N      how many more readings the strength waits for, whatever the rules say
  --truth           told the truth about the unit as the take begins, instead of calibrating
  --idle MINUTES    nobody plays for so long: counts notes, plays no tune
  --yardsticks      what one fixed threshold and a player told everything do, instead of the program`;

const { values } = parseArgs({
  options: {
    grade: { type: 'string' },
    seeds: { type: 'string', default: '10' },
    first: { type: 'string', default: '1' },
    tune: { type: 'string', default: '' },
    random: { type: 'string', default: '0' },
    other: { type: 'string', default: 'own' },
    rules: { type: 'string', default: 'config/rules/plain.yaml' },
    readings: { type: 'string' },
    truth: { type: 'boolean', default: false },
    idle: { type: 'string' },
    yardsticks: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

function chosen<T extends string>(value: string | undefined, all: readonly T[], what: string): T[] {
  if (value === undefined || value === 'all') return [...all];
  const found = all.find((one) => one === value);
  if (found === undefined) throw new Error(`no ${what} "${value}"; there are ${all.join(', ')}`);
  return [found];
}

function rulesAsked(): Rules {
  const read = parseRules(readFileSync(values.rules, 'utf8'), values.rules);
  if (values.readings === undefined) return read;
  return { ...read, strength: { ...read.strength, readings: Number(values.readings) } };
}

const rules = rulesAsked();
const seeds = Array.from({ length: Number(values.seeds) }, (_, i) => Number(values.first) + i);
const tunes: Tune[] = [
  ...TUNES.filter(({ name }) => name.includes(values.tune)),
  ...Array.from({ length: Number(values.random) }, (_, i) => randomTune(i + 1, BASS)),
];

const ms = (micros: number): string => (micros / 1000).toFixed(1).padStart(6);
const HEAD =
  'grade  tune                      notes  F       missed added  late median, 99 %  rank mean, least  unfit';

function row(grade: string, name: string, one: Summary): string {
  return [
    grade.padEnd(6),
    name.padEnd(24),
    String(one.wanted).padStart(6),
    one.f.toFixed(4).padStart(7),
    String(one.missed).padStart(7),
    String(one.added).padStart(5),
    `${ms(one.delayMedian)} ms ${ms(one.delay99)} ms`,
    `${one.correlation.toFixed(3)} ${one.lowest.toFixed(3)}`.padStart(15),
    String(one.unfit).padStart(8),
  ].join(' ');
}

function yardstick(session: SimSession, play: typeof fixedThreshold): Measured {
  const { pairs, missed, added } = checkScore(session.wanted, play(session));
  const wanted = session.wanted.length;
  return { wanted, right: pairs.length, missed, added, delays: [], correlation: NaN, unfit: 0 };
}

function tuneTable(grade: GradeName, other: OtherName, how: (session: SimSession) => Measured) {
  const all: Measured[] = [];
  for (const tune of tunes) {
    const own = seeds.map((seed) => how(simulate({ grade, seed, ...OTHERS[other] }, tune)));
    console.log(row(grade, tune.name, summary(own)));
    all.push(...own);
  }
  console.log(row(grade, 'all tunes', summary(all)));
}

function idle(grade: GradeName, other: OtherName, minutes: number): void {
  const counts = seeds.map((seed) => {
    const session = simulate({ grade, seed, ...OTHERS[other] }, Math.round(minutes * 60_000_000));
    return ownNotes(session, ownBuild(session).build, rules).length;
  });
  console.log(`${grade}: notes by seed ${counts.join(' ')}`);
}

const ways: [string, (session: SimSession) => Measured][] = values.yardsticks
  ? [
      ['one fixed threshold', (session) => yardstick(session, fixedThreshold)],
      ['told the truth', (session) => yardstick(session, toldTheTruth)],
    ]
  : [
      [
        `${rules.name}, strength after ${String(rules.strength.readings)} more readings`,
        (session) =>
          measure(
            session,
            rules,
            values.truth ? trueBuild(session.unit, session.take.begins / 1_000_000) : undefined,
          ),
      ],
    ];

if (values.help) console.log(help);
else {
  console.log(`seeds ${seeds.join(' ')}`);
  for (const other of chosen(values.other, OTHER_NAMES, 'variation')) {
    for (const [name, how] of ways) {
      if (values.idle !== undefined) console.log(`\n${other}: ${values.idle} minutes of nobody`);
      else console.log(`\n${other}; ${name}\n${HEAD}`);
      for (const grade of chosen(values.grade, GRADE_NAMES, 'grade')) {
        if (values.idle !== undefined) idle(grade, other, Number(values.idle));
        else tuneTable(grade, other, how);
      }
    }
  }
}
