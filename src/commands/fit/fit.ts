import { existsSync, statSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { fitPool } from '../../ports/fit/pool.js';
import { alreadyThere, rulesHome, saveNew } from '../../ports/fit/save.js';
import { shown } from '../../ports/files/find.js';
import { fit, type Fitted } from '../../fit/cross.js';
import { judge, type Judge } from '../../fit/judge.js';
import { fitKeys, type FitKey } from '../../fit/keys.js';
import { ONSET_WITHIN } from '../../score/score.js';
import { formatDuration, SECOND, type Micros } from '../../time/micros.js';
import { EXIT, FOLDER, folderOf, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { rulesFile } from './file.js';
import { fitJson } from './json.js';
import { ALIGNED_WINDOW, gatherTakes, type Gathered } from './takes.js';
import { accountLines } from './words.js';
import { durationOf } from '../record.js';
import { TAKE_OPTIONS } from '../take-options.js';

const USUAL_SECONDS = 60;
const MOST_SECONDS = 3_600;

function secondsOf(call: Call): number {
  const text = textOf(call, 'seconds');
  if (text === undefined) return USUAL_SECONDS;
  const seconds = /^\d+(\.\d+)?$/.test(text) ? Number(text) : NaN;
  if (seconds >= 1 && seconds <= MOST_SECONDS) return seconds;
  throw new UsageFault(`--seconds takes a number from 1 to ${String(MOST_SECONDS)}, not "${text}"`);
}

function windowOf(call: Call): Micros {
  if (textOf(call, 'window') === undefined) {
    return call.values.align === true ? ALIGNED_WINDOW : ONSET_WITHIN;
  }
  const window = durationOf(call, 'window');
  if (window <= SECOND) return window;
  throw new UsageFault(`--window takes at most ${formatDuration(SECOND)}; usual is 50ms`);
}

/** Where the result is to go; looked at before the search, which takes a while. */
function outOf(call: Call): { path: string; name: string; force: boolean } | null {
  const out = textOf(call, 'out');
  const force = call.values.force === true;
  if (out === undefined) {
    if (force) throw new UsageFault('--force replaces the file that --out names; name one');
    return null;
  }
  const path = rulesHome(out, folderOf(call));
  if (existsSync(path)) {
    if (statSync(path).isDirectory()) {
      throw new UsageFault(`${shown(path)}: it is a folder; choose another name`);
    }
    if (!force) throw new UsageFault(alreadyThere(path));
  }
  const name = path.replace(/^.*[\\/]/, '').replace(/\.[^.]*$/, '');
  return { path, name, force };
}

/** The keys to search: all that there are for the instrument, or those that are asked for. */
function keysAsked(call: Call, all: readonly FitKey[]): readonly FitKey[] {
  const asked = textOf(call, 'keys');
  if (asked === undefined) return all;
  const names = asked.split(',').map((name) => name.trim());
  const known = all.map(({ key }) => key);
  const wrong = names.find((name) => !known.includes(name));
  if (wrong === undefined) return all.filter(({ key }) => names.includes(key));
  throw new UsageFault(`--keys: "${wrong}" cannot be searched here; there are ${known.join(', ')}`);
}

async function searchIn(
  gathered: Gathered,
  call: Call,
  seconds: number,
): Promise<{ fitted: Fitted; runs: number }> {
  const { takes, blocks, kind, start, decided, velocities } = gathered;
  const allKeys = fitKeys(kind, { decided, velocities });
  const keys = keysAsked(call, allKeys);
  const pool = fitPool(takes);
  const began = performance.now();
  const left = (): number => 1 - (performance.now() - began) / (1_000 * seconds);
  const asking = judge(pool.run, () => left() > 0);
  const stop = showProgress(call, asking, began);
  try {
    const brief = blocks.length === takes.length && takes.some((take) => take.brief !== null);
    const fitted = await fit(asking, { start, keys, allKeys, blocks, brief, left });
    return { fitted, runs: asking.runs };
  } finally {
    stop();
    await pool.close();
  }
}

function showProgress(call: Call, asking: Judge, began: number): () => void {
  if (!call.watched) return () => undefined;
  const timer = setInterval(() => {
    const seconds = Math.round((performance.now() - began) / 1_000);
    process.stderr.write(`\r${String(seconds)} s, takes run ${String(asking.runs)} times `);
  }, 500);
  return () => {
    clearInterval(timer);
    process.stderr.write('\r\x1b[K');
  };
}

async function run(call: Call): Promise<Exit> {
  const began = performance.now();
  const seconds = secondsOf(call);
  const out = outOf(call);
  const window = windowOf(call);
  const gathered = await gatherTakes(call, window);
  const opened = (performance.now() - began) / 1_000;
  const { fitted, runs } = await searchIn(gathered, call, Math.max(1, seconds - opened));
  const file = rulesFile(out?.name ?? 'fitted', gathered, fitted);
  // Where it cannot be kept it is said all the same: the search took a while.
  let unkept: Error | null = null;
  if (out) {
    try {
      const kept = await saveNew(out.path, file, out.force);
      if (kept) call.tell({ level: 'info', ...kept });
    } catch (error) {
      unkept = error as Error;
    }
  }
  if (call.values.json === true) {
    const { user, system } = process.cpuUsage();
    const took = {
      seconds: (performance.now() - began) / 1_000,
      cpuSeconds: (user + system) / 1e6,
    };
    call.say(JSON.stringify(fitJson(gathered, fitted, { window, runs, ...took })));
    if (unkept) throw unkept;
    return EXIT.done;
  }
  for (const line of accountLines(gathered, fitted)) call.say(line);
  if (out && !unkept) {
    const name = shown(out.path);
    call.say('');
    call.say(`Kept as ${name}. Hear it, or see what differs: play with "rules: ${name}", or`);
    call.say(`pluckwork compare ${call.words[0]!} --rules ${gathered.start.name} --rules ${name}`);
  } else {
    for (const line of ['', 'As a rules file, which --out NAME keeps:', '', file.trimEnd()]) {
      call.say(line);
    }
  }
  if (unkept) throw unkept;
  return EXIT.done;
}

const { seat, instrument, build } = TAKE_OPTIONS;

export const fitCommand: Command = {
  name: 'fit',
  summary: 'find the rules by which takes give the wanted notes best',
  usage: ['fit TAKE --wanted NOTES [TAKE --wanted NOTES …] [OPTIONS]'],
  about: `Searches the settings of the playing logic for those that give the most right notes, and tells
what it changed and why. Every take has its own wanted notes, in the same order, as for "score"; a
tune, or an exercise as "pluckwork exercise" makes it. Each take is left out in turn and scored by
rules that were found without it (a single take is cut into parts at silences): only what helps
there is kept, and nothing that makes one of them worse than the start; else the result is the
start. More than right notes count: how late they begin and, where the wanted notes say how hard they
are meant, whether soft and hard are told apart. Keys that only change how notes end are matters of
taste and left alone, and so is velocity where the wanted notes carry none.`,
  words: 64,
  options: {
    wanted: { takes: 'NOTES', many: true, about: "a take's wanted notes; once for each take" },
    from: {
      takes: 'NAME',
      about: 'the rules to start with [those that the takes name, else plain]',
    },
    out: { takes: 'NAME', about: 'the rules file to write, rules/NAME.yaml or a path' },
    force: { about: 'replace that file if it is there; the old one stays in earlier/' },
    keys: { takes: 'LIST', about: 'search only these keys, such as touch.on,strings.brush' },
    seconds: { takes: 'N', about: `how long to search at most [${String(USUAL_SECONDS)}]` },
    align: { about: 'find where in each take its wanted notes begin' },
    window: {
      takes: 'TIME',
      about: 'how early or late a right note may begin [50ms, with --align 150ms]',
    },
    json: { about: 'write one JSON object, times in microseconds' },
    seat: seat!,
    instrument: instrument!,
    build: build!,
    ...FOLDER,
  },
  run,
};
