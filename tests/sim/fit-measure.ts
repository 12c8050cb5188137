import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import type { FitJson } from '../../src/commands/fit/json.js';
import type { ScoreJson } from '../../src/commands/score/score.js';
import { PLAIN } from '../../src/instrument/rules.js';
import type { Rules } from '../../src/instrument/types.js';
import { BASS } from '../support/bass.js';
import { BAD, fileOf, randomStart } from './fit-draws.js';
import { GRADE_NAMES, type GradeName } from './grades.js';
import { ownBuild } from './measuring.js';
import { OTHER_NAMES, OTHERS, type OtherName } from './others.js';
import { simulate, takeText, wantedText } from './session.js';
import { randomTune } from './tune.js';

const help = `Measures "fit" on simulated units: npm run build && npx tsx tests/sim/fit-measure.ts [OPTIONS]

Takes are of one unit and one player, each of another tune. "seen" takes are given to fit; "unseen"
ones are scored by the "score" command: the first by the same player, each other one by another unit
and player. "best" is the best F known on the unseen takes: of plain, of the result, and of a fit from
plain that has seen the unseen takes as well.

  --grade NAME      clean, usual or worst (usual and worst)
  --seeds N         how many units and players (1)
  --first N         the first seed (1)
  --draws N         N random starts, grades and seeds instead, without "best"
  --from WORD       bad or plain (bad; with --draws: random rules)
  --takes N         how many takes are seen (3)
  --unseen N        how many are not (3)
  --notes N         about how many beginnings a take has; 430 are two minutes (430)
  --other NAME      another sensor or player (mix): ${OTHER_NAMES.join(', ')}
  --seconds N       what fit may take (60)
  --changes         what was changed, and why`;

const { values } = parseArgs({
  options: {
    grade: { type: 'string' },
    seeds: { type: 'string', default: '1' },
    first: { type: 'string', default: '1' },
    draws: { type: 'string' },
    from: { type: 'string', default: 'bad' },
    takes: { type: 'string', default: '3' },
    unseen: { type: 'string', default: '3' },
    notes: { type: 'string', default: '430' },
    other: { type: 'string', default: 'mix' },
    seconds: { type: 'string', default: '60' },
    changes: { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

const MAIN = fileURLToPath(new URL('../../dist/commands/main.js', import.meta.url));

function program(args: readonly string[], folder: string): string {
  const { status, stdout, stderr } = spawnSync(process.execPath, [MAIN, ...args], {
    cwd: folder,
    encoding: 'utf8',
    maxBuffer: 1e9,
  });
  if (status !== 0) throw new Error(`pluckwork ${args.join(' ')}\n${stderr}`);
  return stdout;
}

interface Case {
  readonly grade: GradeName;
  readonly seed: number;
  readonly start: Rules;
}

/** Writes a take and its wanted notes, which say how hard but not how loud; returns its name. */
function write(folder: string, { grade, seed }: Case, tune: number): string {
  const other = OTHERS[values.other as OtherName];
  const session = simulate({ grade, seed, ...other }, randomTune(tune, BASS, Number(values.notes)));
  const { build } = ownBuild(session);
  const { take, wanted } = session;
  const name = `${String(seed)}-${String(tune)}`;
  writeFileSync(
    join(folder, `${name}.take.jsonl`),
    takeText({ ...take, header: { ...take.header, build } }),
  );
  const notes = wantedText(wanted).replace(/"velocity":\d+,/g, '');
  writeFileSync(join(folder, `${name}.notes.jsonl`), notes);
  return name;
}

const withNotes = (name: string): string[] => [
  `${name}.take.jsonl`,
  '--wanted',
  `${name}.notes.jsonl`,
];

function fitted(folder: string, names: readonly string[], from: string, out: string): FitJson {
  const takes = names.flatMap(withNotes);
  const options = ['--from', from, '--out', out, '--seconds', values.seconds, '--json'];
  return JSON.parse(program(['fit', ...takes, ...options], folder)) as FitJson;
}

/** F of several takes as one, by the score command; and of each. */
function scored(folder: string, names: readonly string[], rules: string) {
  const each = names.map((name) => {
    const out = program(['score', ...withNotes(name), '--rules', rules, '--json'], folder);
    return JSON.parse(out) as ScoreJson;
  });
  const sum = (of: (one: ScoreJson) => number): number => each.reduce((a, b) => a + of(b), 0);
  return {
    f: (2 * sum((one) => one.right)) / sum((one) => one.wanted + one.played),
    each: each.map((one) => one.f),
  };
}

const three = (value: number): string => value.toFixed(4);

function measure(one: Case, best: boolean): number {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-fit-'));
  try {
    const [seenCount, unseenCount] = [Number(values.takes), Number(values.unseen)];
    const seen = Array.from({ length: seenCount }, (_, i) =>
      write(folder, one, 1000 * one.seed + i),
    );
    const unseen = Array.from({ length: unseenCount }, (_, i) =>
      write(folder, { ...one, seed: one.seed + 500 * i }, 1000 * one.seed + 500 + i),
    );
    writeFileSync(join(folder, 'start.yaml'), fileOf(one.start));
    writeFileSync(join(folder, 'plain.yaml'), fileOf(PLAIN));
    const result = fitted(folder, seen, './start.yaml', './result.yaml');
    const [start, plain, found] = ['start', 'plain', 'result'].map((name) =>
      scored(folder, unseen, `./${name}.yaml`),
    );
    let known = Math.max(plain!.f, found!.f);
    if (best) {
      fitted(folder, [...seen, ...unseen], './plain.yaml', './all.yaml');
      known = Math.max(known, scored(folder, unseen, './all.yaml').f);
    }
    const worse = found!.each.map((f, i) => f - start!.each[i]!).filter((gain) => gain < 0);
    const { all, seconds, cpuSeconds, finished } = result;
    console.log(
      [
        `${one.grade.padEnd(6)}${String(one.seed).padStart(5)}`,
        `  ${three(all.start.f)} ${three(all.leftOut.f)} ${three(all.result.f)}`,
        `  ${three(start!.f)} ${three(found!.f)} ${three(plain!.f)} ${best ? three(known) : '      '}`,
        `  ${seconds.toFixed(1).padStart(5)} s ${cpuSeconds.toFixed(1).padStart(5)} s`,
        finished ? '' : ' (time over)',
        worse.length > 0 ? `  worse: ${worse.map((gain) => gain.toFixed(4)).join(', ')}` : '',
      ].join(''),
    );
    if (values.changes) {
      for (const { key, from, to, why } of result.changes) {
        console.log(`          ${key} ${from} → ${to}: ${why}`);
      }
    }
    return Math.min(0, ...worse);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const HEAD = `             seen takes             unseen takes, by "score"
grade  seed  start  leftOut result  start  result plain  best    clock  processors`;

if (values.help) console.log(help);
else {
  console.log(HEAD);
  const first = Number(values.first);
  const numbers = (count: number): number[] => Array.from({ length: count }, (_, i) => first + i);
  const draw = values.from === 'plain' ? () => PLAIN : randomStart;
  if (values.draws !== undefined) {
    const draws = numbers(Number(values.draws)).map((seed) =>
      measure({ grade: GRADE_NAMES[seed % 3]!, seed, start: draw(seed) }, false),
    );
    const worse = draws.filter((gain) => gain < 0);
    console.log(
      `${String(worse.length)} of ${String(draws.length)} draws have a take that is worse than by ` +
        `the start; at most by ${Math.abs(Math.min(0, ...draws)).toFixed(4)}`,
    );
  } else {
    const grades = GRADE_NAMES.filter((name) =>
      values.grade === undefined ? name !== 'clean' : name === values.grade,
    );
    for (const grade of grades) {
      for (const seed of numbers(Number(values.seeds))) {
        measure({ grade, seed, start: values.from === 'plain' ? PLAIN : BAD }, true);
      }
    }
  }
}
