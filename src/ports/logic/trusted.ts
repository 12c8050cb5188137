import { createHash } from 'node:crypto';
import { appendFileSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, isAbsolute, join } from 'node:path';

/** More modules than a person comes to trust; the oldest of them are forgotten. */
const MOST = 2_000;
const FILE = 'trusted-modules';

/** Where a person's own settings are on this system, by its habit. */
export function settingsFolder(
  platform: NodeJS.Platform = process.platform,
  env: Readonly<NodeJS.ProcessEnv> = process.env,
  home: string = homedir(),
): string {
  const { APPDATA, XDG_CONFIG_HOME: xdg } = env;
  if (platform === 'win32') {
    return join(
      APPDATA === undefined || APPDATA === '' ? join(home, 'AppData', 'Roaming') : APPDATA,
      'pluckwork',
    );
  }
  if (platform === 'darwin') return join(home, 'Library', 'Application Support', 'pluckwork');
  // A relative path there is to be ignored (XDG Base Directory Specification 0.8).
  return join(xdg !== undefined && isAbsolute(xdg) ? xdg : join(home, '.config'), 'pluckwork');
}

/** What a module is known by: its SHA-256, as 64 hexadecimal digits. */
export function moduleHash(code: string): string {
  return createHash('sha256').update(code).digest('hex');
}

/** The modules that this person has allowed to run, kept in their own settings. */
export interface TrustedModules {
  readonly path: string;
  has(hash: string): boolean;
  /**
   * Keeps it, for this program and the next.
   *
   * @param note what the module is called, for whoever looks into the file
   * @returns why it could not be kept, in words of the system; null where it is
   */
  add(hash: string, note: string): string | null;
  /** The same by the module itself. */
  addCode(code: string, note: string): string | null;
}

/** A file that cannot be read, or that others may write to, trusts nothing. */
export function trustedModules(folder = settingsFolder()): TrustedModules {
  const path = join(folder, FILE);
  let known: Set<string> | null = null;

  function load(): Set<string> {
    try {
      // On Windows rights are not told by the mode.
      if (process.platform !== 'win32' && (statSync(path).mode & 0o022) !== 0) return new Set();
      const lines = readFileSync(path, 'utf8').split('\n');
      return new Set(lines.flatMap((line) => /^[0-9a-f]{64}(?=\s|$)/.exec(line)?.[0] ?? []));
    } catch {
      return new Set();
    }
  }

  const modules: TrustedModules = {
    path,
    addCode: (code, note) => modules.add(moduleHash(code), note),
    has: (hash) => (known ??= load()).has(hash),
    add(hash, note) {
      known ??= load();
      if (known.has(hash)) return null;
      known.add(hash);
      const line = `${hash}  ${note.replace(/[^\p{L}\p{N} ._-]+/gu, ' ').slice(0, 100)}\n`;
      try {
        mkdirSync(dirname(path), { recursive: true, mode: 0o700 });
        if (known.size <= MOST) appendFileSync(path, line, { mode: 0o600 });
        else {
          known = new Set([...known].slice(-MOST / 2));
          const all = [...known].map((one) => `${one}\n`).join('');
          writeFileSync(path, all, { mode: 0o600 });
        }
        return null;
      } catch (error) {
        return (error as Error).message;
      }
    },
  };
  return modules;
}
