import type { Move, Script } from './moves.js';
import { run, type Ran } from './run.js';
import { scriptOf } from './script.js';
import { shrink } from './shrink.js';

/** What is shown of a failing script at most. */
const SHOWN = 60;

const kindOf = (seed: number): Pick<Script, 'mode' | 'alarms'> => ({
  mode: seed % 3 === 0 ? 'faults' : 'replay',
  alarms: seed % 2 === 0,
});

/**
 * Runs one seed. Where a promise is broken, looks for the shortest script that breaks one too.
 *
 * @returns `report`: how it failed and how to see it again, in words; null where all was kept
 */
export async function check(
  seed: number,
  length: number,
  shortens = true,
): Promise<{ report: string | null; ran: Ran }> {
  const script = scriptOf(seed, length, kindOf(seed));
  const ran = await run(script);
  if (ran.broken === null) return { report: null, ran };
  const prefix = script.moves.slice(0, ran.moves + 1);
  const fails = async (moves: readonly Move[]): Promise<boolean> =>
    kind((await run({ ...script, moves })).broken) === kind(ran.broken);
  const least = shortens ? await shrink(prefix, fails) : prefix;
  const last = await run({ ...script, moves: least });
  const shown = least.slice(-SHOWN).map((move) => `  ${short(JSON.stringify(move))}`);
  return {
    report: [
      `seed ${String(seed)}, ${script.mode}: ${ran.broken}`,
      `after ${String(prefix.length)} of ${String(length)} moves; ` +
        `npx tsx tests/fuzz/room/main.ts --first ${String(seed)} --seeds 1 --events ${String(length)}`,
      `the shortest that fails has ${String(least.length)} moves: ${last.broken ?? ''}`,
      ...shown,
    ].join('\n'),
    ran,
  };
}

/** What kind of promise was broken, without who, when and how many. */
const kind = (broken: string | null): string => (broken ?? '').replace(/[\d.]+|:.*/g, '');

const short = (line: string): string => (line.length > 400 ? `${line.slice(0, 400)}…` : line);
