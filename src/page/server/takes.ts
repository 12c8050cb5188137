import { readdir, stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import { below, isDated } from '../../ports/takes/recordings.js';
import { isRoomTake } from '../../takes/room-header.js';
import { parseHeader } from '../../takes/take.js';
import type { PageTake } from '../link/state.js';
import { firstLine } from './take-head.js';

/** As many as a person looks through; those before the newest of them are left out. */
const MOST_TAKES = 300;

/** The takes that pages can look at. */
export interface Takes {
  /** The newest first. */
  readonly list: readonly PageTake[];
  /** Where a take is that is in the list; null: it is not. */
  pathOf(name: string): string | null;
  /** Looks again. */
  refresh(): Promise<void>;
}

interface Found extends PageTake {
  readonly path: string;
}

/**
 * The takes in some folders; of two of the same name the one in the later folder gets another.
 *
 * @param changed told when the list is another one
 */
export function takesIn(
  folders: readonly string[],
  changed: (list: readonly PageTake[]) => void,
): Takes {
  let found: readonly Found[] = [];
  let list: readonly PageTake[] = [];
  /** By path, size and time of change: whether it is of a whole room; null: it is no take. */
  let kinds = new Map<string, boolean | null>();
  let looking: Promise<void> | null = null;

  async function again(): Promise<void> {
    found = await look();
    const now = found.map(({ name, bytes, at, room }) => ({ name, bytes, at, room }));
    if (JSON.stringify(now) === JSON.stringify(list)) return;
    list = now;
    changed(list);
  }

  async function look(): Promise<Found[]> {
    const seen = new Map<string, boolean | null>();
    const names = new Set<string>();
    const all: Found[] = [];
    for (const [path, called] of await files(folders)) {
      const is = await stat(path).catch(() => null);
      if (!is?.isFile()) continue;
      const key = `${path} ${String(is.size)} ${String(is.mtimeMs)}`;
      const room = kinds.get(key) ?? (kinds.has(key) ? null : await kindOf(path));
      seen.set(key, room);
      if (room === null) continue;
      const name = freeName(called, names);
      names.add(name);
      all.push({ name, bytes: is.size, at: Math.round(is.mtimeMs), room, path });
    }
    kinds = seen;
    return all.sort((a, b) => b.at - a.at || (a.name < b.name ? -1 : 1)).slice(0, MOST_TAKES);
  }

  return {
    get list() {
      return list;
    },
    pathOf: (name) => found.find((one) => one.name === name)?.path ?? null,
    // However many ask at once, it is looked once.
    refresh: () => (looking ??= again().finally(() => (looking = null))),
  };
}

/** Of the folders of recordings, so many are looked through: the newest. */
const MOST_FOLDERS = 100;

/** The paths of what may be takes, each with what it is called: from the folder on. */
async function files(folders: readonly string[]): Promise<Map<string, string>> {
  const all = new Map<string, string>();
  for (const folder of folders) {
    const names = await readdir(folder).catch(() => []);
    const dated = names.filter(isDated).sort().slice(-MOST_FOLDERS);
    for (const own of [folder, ...dated.map((name) => join(folder, name))]) {
      const inside = own === folder ? names : await readdir(own).catch(() => []);
      for (const name of inside.filter((one) => /\.jsonl(\.gz)?$/.test(one)).sort()) {
        const path = join(own, name);
        if (!all.has(path)) all.set(path, below(folder, path));
      }
    }
  }
  return all;
}

async function kindOf(path: string): Promise<boolean | null> {
  const line = await firstLine(path);
  const header = line === null ? '' : parseHeader(line);
  return typeof header === 'string' ? null : isRoomTake(header);
}

function freeName(name: string, taken: ReadonlySet<string>): string {
  const ending = /(\.take)?\.jsonl(\.gz)?$/.exec(name)?.[0] ?? extname(name);
  const stem = name.slice(0, -ending.length);
  for (let n = 1; ; n++) {
    const one = n === 1 ? name : `${stem}-${String(n)}${ending}`;
    if (!taken.has(one)) return one;
  }
}
