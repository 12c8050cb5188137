import type { Notice, Tell } from '../ports/contracts.js';
import { printable, printableJson } from '../ports/printable.js';

const MARK: Readonly<Record<Notice['level'], string>> = {
  info: '',
  warn: 'warning: ',
  error: 'error: ',
};

/** One plain line: what happened, where, and what to do next. */
export function plainNotice({ level, what, where, next }: Notice): string {
  const place = where === undefined ? '' : ` (${where})`;
  const todo = next === undefined ? '' : ` ${stopped(next)}`;
  return `${MARK[level]}${stopped(`${what}${place}`)}${todo}`;
}

function stopped(sentence: string): string {
  return /[.!?…:]$/.test(sentence) ? sentence : `${sentence}.`;
}

/** Plain lines on standard error, for people. */
export const tellPlainly: Tell = (notice) => {
  process.stderr.write(`${printable(plainNotice(notice))}\n`);
};

/** JSON lines on standard error, for programs. */
export async function tellAsJson(): Promise<Tell> {
  const { pino } = await import('pino');
  const destination = pino.destination({ fd: 2, sync: true });
  destination.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error;
  });
  const write = (line: string): boolean => destination.write(printableJson(line));
  const log = pino({ base: null }, { write });
  return ({ level, what, where, next }) => {
    log[level]({ where, next }, what);
  };
}
