import { readFile, readdir, readlink } from 'node:fs/promises';

/** One IPv4 UDP socket of this computer, as Linux lists it (proc(5), /proc/net/udp). */
export interface UdpRow {
  readonly port: number;
  readonly inode: string;
  /** Datagrams that the system threw away since their receiver did not read them in time. */
  readonly drops: number;
}

/** Reads the text of /proc/net/udp; lines that cannot be read are left out. */
export function parseUdpTable(text: string): UdpRow[] {
  return text.split('\n').flatMap((line) => {
    const fields = line.trim().split(/\s+/);
    const port = Number.parseInt(fields[1]?.split(':')[1] ?? '', 16);
    const [inode, drops] = [fields[9], Number(fields[12])];
    if (inode === undefined || Number.isNaN(port) || !Number.isFinite(drops)) return [];
    return [{ port, inode, drops }];
  });
}

/** The system's list; undefined where it has none (other systems than Linux). */
export async function udpTable(): Promise<UdpRow[] | undefined> {
  try {
    return parseUdpTable(await readFile('/proc/net/udp', 'utf8'));
  } catch {
    return undefined;
  }
}

/**
 * The program that holds a UDP port, such as `python3 (process 4711)`; undefined where the system
 * does not say: on other systems than Linux, or for a program of another user.
 */
export async function portHolder(port: number): Promise<string | undefined> {
  const rows = (await udpTable()) ?? [];
  const wanted = new Set(rows.filter((row) => row.port === port).map(({ inode }) => inode));
  if (wanted.size === 0) return undefined;
  for (const id of await list('/proc')) {
    if (!/^\d+$/.test(id)) continue;
    for (const fd of await list(`/proc/${id}/fd`)) {
      const target = await readlink(`/proc/${id}/fd/${fd}`).catch(() => '');
      if (!wanted.has(/^socket:\[(\d+)\]$/.exec(target)?.[1] ?? '')) continue;
      const name = await readFile(`/proc/${id}/comm`, 'utf8').catch(() => 'a program');
      return `${name.trim()} (process ${id})`;
    }
  }
  return undefined;
}

async function list(folder: string): Promise<string[]> {
  return readdir(folder).catch(() => []);
}
