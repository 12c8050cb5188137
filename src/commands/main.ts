#!/usr/bin/env node
import { parseArgs, type ParseArgsConfig } from 'node:util';
import { nearest } from '../instrument/near.js';
import { FileFault } from '../instrument/fault.js';
import { throughLatest } from '../ports/takes/recordings.js';
import { printable, printableJson } from '../ports/printable.js';
import { TakeFileFault } from '../ports/files/fault.js';
import { TakeTooLong } from '../takes/limits.js';
import { EXIT, Failure, UsageFault, type Command, type Exit, type Values } from './cli.js';
import { COMMON, helpPage, overview } from './help.js';
import { watchOutput } from './output.js';
import { tellAsJson, tellPlainly } from './telling.js';
import { TOPICS, topicPage } from './topics.js';
import { version } from './version.js';

/** In the order of the overview. Each is loaded when it is called: what one needs costs the others no time. */
const COMMANDS: Readonly<Record<string, () => Promise<Command>>> = {
  play: async () => (await import('./play/play.js')).play,
  ports: async () => (await import('./ports.js')).ports,
  calibrate: async () => (await import('./calibrate.js')).calibrate,
  wire: async () => (await import('./wire/wire.js')).wire,
  check: async () => (await import('./check/check.js')).checkCommand,
  record: async () => (await import('./record.js')).record,
  rerun: async () => (await import('./rerun/rerun.js')).rerunCommand,
  score: async () => (await import('./score/score.js')).scoreCommand,
  compare: async () => (await import('./compare/compare.js')).compareCommand,
  fit: async () => (await import('./fit/fit.js')).fitCommand,
  exercise: async () => (await import('./fit/exercise.js')).exerciseCommand,
  explain: async () => (await import('./explain/explain.js')).explainCommand,
};

function meant(near: string | undefined): string {
  return near === undefined ? '' : `; did you mean "${near}"?`;
}

function find(name: string): Promise<Command> {
  const load = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (load) return load();
  const near = nearest(name, Object.keys(COMMANDS));
  throw new UsageFault(`there is no command "${name}"${meant(near)}`);
}

function parse(command: Command, args: readonly string[]): { values: Values; words: string[] } {
  const known = Object.entries({ ...command.options, ...COMMON });
  const options: NonNullable<ParseArgsConfig['options']> = Object.fromEntries(
    known.map(([name, { takes, short, many }]) => [
      name,
      {
        type: takes === undefined ? 'boolean' : 'string',
        ...(short ? { short } : {}),
        ...(many ? { multiple: true } : {}),
      },
    ]),
  );
  try {
    const parsed = parseArgs({ args: [...args], options, allowPositionals: true });
    return { values: parsed.values as Values, words: parsed.positionals };
  } catch (error) {
    // Node's own words on a wrong option, with the nearest right one.
    const [first = ''] = (error as Error).message.split('. ');
    const written = /option '(?:-\w, )?--?([\w-]+)/i.exec(first)?.[1];
    const names = known.map(([name]) => name);
    const misspelt = written !== undefined && !names.includes(written);
    const near = misspelt ? nearest(written, names) : undefined;
    throw new UsageFault(`${first}${near === undefined ? '' : meant(`--${near}`)}`);
  }
}

/** A script's variable that is not set leaves an empty text, of which files of no name would be made. */
function refuseEmpty(values: Values, words: readonly string[], command: Command): void {
  const option = Object.keys(values).find((name) => [values[name]].flat().includes(''));
  if (option !== undefined) {
    throw new UsageFault(`--${option} was given an empty text: say which, or leave it out`);
  }
  if (words.includes('')) throw new UsageFault(`an empty word was given to "${command.name}"`);
}

async function runCommand(command: Command, args: readonly string[]): Promise<Exit> {
  const parsed = parse(command, args);
  const words = parsed.words.map(throughLatest);
  const values: Values = Object.fromEntries(
    Object.entries(parsed.values).map(([name, value]) => [
      name,
      typeof value === 'string' ? throughLatest(value) : value,
    ]),
  );
  if (values.help === true) {
    process.stdout.write(`${helpPage(command)}\n`);
    return EXIT.done;
  }
  if (values.log !== undefined && values.log !== 'plain' && values.log !== 'json') {
    throw new UsageFault(`--log takes plain or json, not "${String(values.log)}"`);
  }
  if (words.length > command.words) {
    throw new UsageFault(`"${words[command.words]!}" is one word too many for "${command.name}"`);
  }
  refuseEmpty(values, words, command);
  const tell = values.log === 'json' ? await tellAsJson() : tellPlainly;
  const say = (line: string): void => {
    process.stdout.write(`${/^[[{]/.test(line) ? printableJson(line) : printable(line)}\n`);
  };
  try {
    return await command.run({ values, words, say, tell, watched: process.stderr.isTTY });
  } catch (error) {
    const known =
      error instanceof Failure ||
      error instanceof FileFault ||
      error instanceof TakeFileFault ||
      error instanceof TakeTooLong;
    if (!known) throw error;
    tell({ level: 'error', what: error.message });
    return EXIT.failed;
  }
}

/** A page of the manual, or of a command. */
async function help(topic: string): Promise<Exit> {
  const page = await topicPage(topic);
  if (page !== undefined) process.stdout.write(page);
  else if (Object.hasOwn(COMMANDS, topic)) {
    process.stdout.write(`${helpPage(await find(topic))}\n`);
  } else {
    const all = [...Object.keys(TOPICS), ...Object.keys(COMMANDS)];
    throw new UsageFault(
      `there is no help on "${topic}"${meant(nearest(topic, all))}\nTopics: ${all.join(', ')}`,
    );
  }
  return EXIT.done;
}

async function main(args: readonly string[]): Promise<Exit> {
  const [name, ...rest] = args;
  if (name === undefined) throw new UsageFault('a command is missing');
  if (name === 'help' && rest[0] !== undefined) return help(rest[0]);
  if (name === '--help' || name === '-h' || name === 'help') {
    const all = await Promise.all(Object.values(COMMANDS).map((load) => load()));
    process.stdout.write(`${overview(all, Object.keys(TOPICS))}\n`);
    return EXIT.done;
  }
  if (name === '--version') {
    process.stdout.write(`${version()}\n`);
    return EXIT.done;
  }
  const command = await find(name);
  try {
    return await runCommand(command, rest);
  } catch (error) {
    if (!(error instanceof UsageFault)) throw error;
    throw new UsageFault(`${error.message}\nSee: pluckwork ${command.name} --help`);
  }
}

watchOutput();
try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  if (error instanceof UsageFault) {
    const hint = error.message.includes('\n') ? '' : '\nSee: pluckwork --help';
    process.stderr.write(`error: ${printable(error.message)}${hint}\n`);
    process.exitCode = EXIT.usage;
  } else {
    const { message, stack } = error as Error;
    process.stderr.write(
      `error: something in pluckwork itself failed: ${printable(message)}\n` +
        `Please report it with these lines and, if you can, a take:\n${printable(stack ?? '')}\n`,
    );
    process.exitCode = EXIT.failed;
  }
}
