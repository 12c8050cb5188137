import { SourceMap } from 'node:module';
import { basename } from 'node:path';
import type { Position } from '../../instrument/fault.js';
import type { OwnCode } from '../../instrument/types.js';
import { LogicFault } from '../../playing/own-logic-run.js';
import type { Notice } from '../contracts.js';
import { CODE_FILE, type Thrown } from './shared.js';

const PLACE = new RegExp(`${CODE_FILE.replace('.', '\\.')}:(\\d+):(\\d+)`);
const MAP = /\/\/# sourceMappingURL=data:application\/json;base64,(\S+)\s*$/;

/** What a module cannot have, and what there is instead. */
const HINTS: readonly (readonly [RegExp, string])[] = [
  [/\b(Date|performance) is not/, 'The time comes with each event, as event.t.'],
  [/\bset(Timeout|Interval|Immediate) is/, 'Answer with "wake" to be called again at a time.'],
  [
    /\b(process|require|fetch|Buffer|Promise) is/,
    'Own logic has the language itself, and no files, no network and no packages.',
  ],
  [/\bexports no function\b/, 'Write "export function" before begin and before step.'],
  [/\bis async\b/, 'Take the word async away, and every await.'],
  [/\bwithout a state\b/, 'Let every answer be { state, … }.'],
  [/\bcall stack\b/, 'A function calls itself without end there.'],
];

export const ENDLESS = 'Look for a loop that never ends, or for a list that grows without end.';

/** Where something was thrown, if that is known: the name of the file of the module, and the place in it. */
export function thrownAt({ stack }: Thrown, code: string): { file: string; at: Position } | null {
  const [, line, column] = PLACE.exec(stack) ?? [];
  const [, map] = MAP.exec(code) ?? [];
  if (line === undefined || map === undefined) return null;
  try {
    const text = Buffer.from(map, 'base64').toString();
    const payload = JSON.parse(text) as ConstructorParameters<typeof SourceMap>[0];
    const entry = new SourceMap(payload).findEntry(Number(line) - 1, Number(column) - 1);
    if (!('originalSource' in entry)) return null;
    const { originalSource: file, originalLine, originalColumn } = entry;
    return { file, at: { line: originalLine + 1, column: originalColumn + 1 } };
  } catch {
    // A take that somebody has changed by hand.
    return null;
  }
}

/** What to do about something that was thrown. */
export function thrownNext({ message }: Thrown): string {
  const hint = HINTS.find(([words]) => words.test(message))?.[1];
  return hint ?? 'Fix it and save the file again.';
}

/** What a module threw, with the place in its own file. */
export function thrownFault(thrown: Thrown, { file, code }: OwnCode): LogicFault {
  const found = thrownAt(thrown, code ?? '');
  const place =
    found && `${beside(found.file, file)}:${String(found.at.line)}:${String(found.at.column)}`;
  return new LogicFault(thrown.message, place ?? file, thrownNext(thrown));
}

/** A file that a module imports, named as the module itself is. */
export function beside(file: string, module: string): string {
  return module.slice(0, module.length - basename(module).length) + file;
}

/** A failure of a module as a person is told of it, while the room plays. */
export function logicNotice({ what, where, next }: LogicFault, seat: string): Notice {
  return {
    level: 'error',
    what: `Own logic failed: ${what}`,
    where: `seat ${seat}, ${where}`,
    next: `${next} Its notes were ended; until the file is saved again the seat plays by the built-in logic, and the other seats go on.`,
  };
}
