import { parseRules } from '../../instrument/rules.js';
import { findFile, namesOf, readText, shown, type Kind } from '../../ports/files/find.js';
import { loadBuild, loadInstrument } from '../../ports/files/files.js';

/** The files that pages can ask for by name. */
export type NamedKind = Extract<Kind, 'rules' | 'instrument' | 'build'>;

/** By the path under which they are asked for. */
export const NAMED: Readonly<Record<string, NamedKind>> = {
  rules: 'rules',
  instruments: 'instrument',
  builds: 'build',
};

/** Reads files by name; only those that are there under a bare name, or that the room itself names. */
export interface NamedFiles {
  names(kind: NamedKind): Promise<string[]>;
  /**
   * What a file holds; null: there is none of that name.
   *
   * @throws FileFault where something is wrong in it
   */
  read(kind: NamedKind, name: string): Promise<unknown>;
}

/** @param more names that the room has, which may be paths */
export function namedFiles(
  folder: string,
  more: (kind: NamedKind) => readonly string[],
): NamedFiles {
  async function names(kind: NamedKind): Promise<string[]> {
    return [...new Set([...(await namesOf(kind, folder)), ...more(kind)])];
  }
  return {
    names,
    async read(kind, name) {
      if (!(await names(kind)).includes(name)) return null;
      if (kind === 'instrument') return loadInstrument(name, folder);
      if (kind === 'build') return loadBuild(name, folder);
      // Without the code of own logic, which only the room itself runs.
      const path = await findFile('rules', name, folder);
      return parseRules(await readText(path), shown(path));
    },
  };
}
