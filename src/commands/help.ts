import type { Command, Option, Options } from './cli.js';

/** Options that every command takes. */
export const COMMON: Options = {
  log: { takes: 'plain|json', about: 'how messages are written to standard error [plain]' },
  help: { short: 'h', about: 'this page' },
};

const WIDTH = 88;

/** Breaks a text at blanks so that no line is longer than `width`. */
export function filled(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/)) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  return [...lines, line];
}

function left([name, { short, takes }]: [string, Option]): string {
  const both = short === undefined ? `    --${name}` : `-${short}, --${name}`;
  return takes === undefined ? both : `${both} ${takes}`;
}

/** A command's help page. */
export function helpPage({ usage, about, options }: Command): string {
  const all = Object.entries({ ...options, ...COMMON });
  const column = Math.max(...all.map((one) => left(one).length)) + 2;
  const calls = usage.map((line, i) => `${i === 0 ? 'Usage: ' : '       '}pluckwork ${line}`);
  const list = all.flatMap((one) => {
    const [first, ...more] = filled(one[1].about, WIDTH - column - 2);
    const indent = ' '.repeat(column);
    return [`  ${left(one).padEnd(column)}${first!}`, ...more.map((line) => `  ${indent}${line}`)];
  });
  return [...calls, '', ...filled(about, WIDTH), '', ...list].join('\n');
}

/** All commands, and the topics of the manual, in lists. */
export function overview(commands: readonly Command[], topics: readonly string[]): string {
  const width = Math.max(...commands.map(({ name }) => name.length));
  const list = commands.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`);
  return `pluckwork turns the raw pad states of simple touch instruments into music.

Usage: pluckwork COMMAND [OPTIONS]

${list.join('\n')}

  pluckwork COMMAND --help   what a command does and takes
  pluckwork help TOPIC       a page of the manual: ${topics.join(', ')}
  pluckwork --version        this program's version

Ends with 0 when done, 1 when something failed, 2 when called in a wrong way.`;
}
