#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { nearest } from '../instrument/near.js';
import { FileFault } from '../instrument/fault.js';
import { TakeFileFault } from '../ports/take-file.js';
import { calibrate } from './calibrate.js';
import { EXIT, Failure, UsageFault, type Command, type Exit } from './cli.js';
import { play } from './play.js';
import { ports } from './ports.js';
import { record } from './record.js';
import { rerunCommand } from './rerun.js';
import { tellAsJson, tellPlainly } from './telling.js';

const COMMANDS: readonly Command[] = [play, ports, calibrate, record, rerunCommand];

/** Options that every command takes. */
const COMMON = {
  help: { type: 'boolean', short: 'h' },
  log: { type: 'string' },
} as const;

const COMMON_HELP = `  --log plain|json  how messages are written to standard error (plain)
  -h, --help        this page`;

function overview(): string {
  const width = Math.max(...COMMANDS.map(({ name }) => name.length));
  const list = COMMANDS.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`);
  return `pluckwork turns the raw pad states of simple touch instruments into music.

Usage: pluckwork COMMAND [OPTIONS]

${list.join('\n')}

  pluckwork COMMAND --help   what a command does and takes
  pluckwork --version        this program's version

Ends with 0 when done, 1 when something failed, 2 when called in a wrong way.`;
}

function version(): string {
  const file = new URL('../../package.json', import.meta.url);
  return (JSON.parse(readFileSync(file, 'utf8')) as { version: string }).version;
}

function find(name: string): Command {
  const command = COMMANDS.find((one) => one.name === name);
  if (command) return command;
  const near = nearest(
    name,
    COMMANDS.map((one) => one.name),
  );
  throw new UsageFault(
    `there is no command "${name}"${near === undefined ? '' : `; did you mean "${near}"?`}`,
  );
}

/** Node's words on a wrong option, with the nearest right one. */
function misused(command: Command, error: unknown): UsageFault {
  const text = (error as Error).message;
  const written = /option '(?:-\w, )?--?([\w-]+)/i.exec(text)?.[1];
  const known = [...Object.keys(command.options), ...Object.keys(COMMON)];
  const near =
    written === undefined || known.includes(written) ? undefined : nearest(written, known);
  const [first] = text.split('. ');
  return new UsageFault(`${first!}${near === undefined ? '' : `; did you mean "--${near}"?`}`);
}

async function runCommand(command: Command, args: readonly string[]): Promise<Exit> {
  let parsed;
  try {
    parsed = parseArgs({
      args: [...args],
      options: { ...command.options, ...COMMON },
      allowPositionals: true,
    });
  } catch (error) {
    throw misused(command, error);
  }
  const values = parsed.values as Record<string, string | boolean | undefined>;
  if (values.help === true) {
    process.stdout.write(`${command.help}\n${COMMON_HELP}\n`);
    return EXIT.done;
  }
  if (values.log !== undefined && values.log !== 'plain' && values.log !== 'json') {
    throw new UsageFault(`--log takes plain or json, not "${String(values.log)}"`);
  }
  const words = parsed.positionals;
  if (words.length > command.words) {
    throw new UsageFault(`"${words[command.words]!}" is one word too many for "${command.name}"`);
  }
  const tell = values.log === 'json' ? tellAsJson() : tellPlainly;
  const say = (line: string): void => {
    process.stdout.write(`${line}\n`);
  };
  try {
    return await command.run({ values, words, say, tell, watched: process.stderr.isTTY });
  } catch (error) {
    if (error instanceof UsageFault) throw error;
    if (!(
      error instanceof Failure ||
      error instanceof FileFault ||
      error instanceof TakeFileFault
    )) {
      throw error;
    }
    tell({ level: 'error', what: error.message.replace(/\.$/, '') });
    return EXIT.failed;
  }
}

async function main(args: readonly string[]): Promise<Exit> {
  const [name, ...rest] = args;
  if (name === undefined) throw new UsageFault('a command is missing');
  if (name === '--help' || name === '-h' || name === 'help') {
    process.stdout.write(`${overview()}\n`);
    return EXIT.done;
  }
  if (name === '--version') {
    process.stdout.write(`${version()}\n`);
    return EXIT.done;
  }
  const command = find(name);
  try {
    return await runCommand(command, rest);
  } catch (error) {
    if (!(error instanceof UsageFault)) throw error;
    throw new UsageFault(`${error.message}\nSee: pluckwork ${command.name} --help`);
  }
}

// Whoever reads our output may go away early (a pipe into head): that is no failure.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit(EXIT.done);
});

try {
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  if (error instanceof UsageFault) {
    const hint = error.message.includes('\n') ? '' : '\nSee: pluckwork --help';
    process.stderr.write(`error: ${error.message}${hint}\n`);
    process.exitCode = EXIT.usage;
  } else {
    const { message, stack } = error as Error;
    process.stderr.write(
      `error: something in pluckwork itself failed: ${message}\n` +
        `Please report it with these lines and, if you can, a take:\n${stack ?? ''}\n`,
    );
    process.exitCode = EXIT.failed;
  }
}
