import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

/** A folder of files for one test file. */
export interface Kit {
  readonly folder: string;
  /** Writes a file and gives its path. */
  put(name: string, text: string): string;
  remove(): void;
}

export function newKit(): Kit {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-logic-'));
  return {
    folder,
    put(name, text) {
      const path = join(folder, name);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, text);
      return path;
    },
    remove() {
      rmSync(folder, { recursive: true });
    },
  };
}

const BEGIN = 'export const begin = () => ({ calls: 0 });\n';

/** A module whose step, from its second line on, does this with `state` and `event`. */
export const stepping = (body: string): string =>
  `${BEGIN}export function step(state: { calls: number }, event: { t: number; pad: number }) {\n${body}\n}\n`;

/** A module that sounds a note for each onset. */
export const sounding = (note: number): string =>
  stepping(`  const on = { type: 'on', string: 0, note: ${String(note)}, strength: 1 };
  return { state, out: 'pad' in event ? [on] : [] };`);
