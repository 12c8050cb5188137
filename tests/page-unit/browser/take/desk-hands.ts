import { readdirSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { compareCommand } from '../../../../src/commands/compare/compare.js';
import type { Call, Command } from '../../../../src/commands/cli.js';
import { explainCommand } from '../../../../src/commands/explain/explain.js';
import { Desk } from '../../../../src/page/browser/take/desk/desk.js';
import type { Service } from '../../../../src/page/browser/take/desk/fetching.js';
import type { By, Opened, Progress } from '../../../../src/page/browser/take/desk/messages.js';
import { loadBuild, loadInstrument, loadRules } from '../../../../src/ports/files/files.js';

export const CASES = new URL('../../../takes/cases/', import.meta.url).pathname;
export const caseNames = readdirSync(CASES)
  .filter((file) => file.endsWith('.take.jsonl'))
  .map((file) => basename(file, '.take.jsonl'));

export const casePath = (name: string): string => `${CASES}${name}.take.jsonl`;

/** What the service sends, through JSON as it would come. */
export function serviceOf(takes: Readonly<Record<string, Uint8Array>> = {}): Service {
  const sent = async <Value>(value: Promise<Value>): Promise<Value> =>
    JSON.parse(JSON.stringify(await value)) as Value;
  return {
    take: (name, progress) => {
      progress(1);
      return Promise.resolve(new Uint8Array(takes[name]!));
    },
    instrument: (name) => sent(loadInstrument(name, CASES)),
    build: (name) => sent(loadBuild(name, CASES)),
    rules: (name) => sent(loadRules(name, CASES)),
    carried: (rules) => Promise.resolve(rules),
  };
}

/** A desk with a take open on it, and what it told meanwhile. */
export async function deskWith(
  bytes: Uint8Array,
  service = serviceOf(),
  name = 'own.take.jsonl',
): Promise<{ desk: Desk; opened: Opened; told: Progress[] }> {
  const told: Progress[] = [];
  const desk = new Desk(service);
  const device = { name, bytes: new Uint8Array(bytes).buffer };
  const opened = await desk.open({ source: { device } }, (one) => told.push(one));
  return { desk, opened, told };
}

export const caseDesk = async (name: string): ReturnType<typeof deskWith> =>
  deskWith(readFileSync(casePath(name)), serviceOf(), casePath(name));

/** The bytes of a text. */
export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

async function commandJson(
  command: Command,
  path: string,
  values: Call['values'],
): Promise<unknown> {
  const said: string[] = [];
  const call = {
    words: [path],
    values: { folder: CASES, json: '-', ...values },
    say: (line: string) => void said.push(line),
    tell: () => undefined,
  } as unknown as Call;
  await command.run(call);
  return JSON.parse(said.join('\n'));
}

/** What `compare --json -` prints. */
export const compareJsonOf = (path: string, values: Call['values']): Promise<unknown> =>
  commandJson(compareCommand, path, values);

/** What `explain --json -` prints. */
export const explainJsonOf = (path: string, values: Call['values']): Promise<unknown> =>
  commandJson(explainCommand, path, values);

/** What `explain` prints, on one line a sentence. */
export async function explainTextOf(path: string, values: Call['values']): Promise<string> {
  const said: string[] = [];
  const call = {
    words: [path],
    values: { folder: CASES, ...values },
    say: (line: string) => void said.push(line),
    tell: () => undefined,
  } as unknown as Call;
  await explainCommand.run(call);
  return said.join(' ').replace(/\s+/g, ' ');
}

export const PLAYED: By = { by: 'played' };
export const file = (name: string): By => ({ by: 'file', name });
export const untold = (): void => undefined;
