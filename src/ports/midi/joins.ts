/** What ALSA tells of one port. */
export interface Joins {
  /** The addresses (`client:port`) at the other end of its joins. */
  readonly peers: ReadonlySet<string>;
  /** How many messages its client could not take in, because they came faster than it read them. */
  readonly missed: number;
  /** True for a port of the kernel's own, such as a sound card's; false for a program's. */
  readonly kernel: boolean;
}

/**
 * Reads ALSA's list of clients (`/proc/asound/seq/clients`).
 *
 * A port that was unplugged and plugged in again within a second has its old name and address, but
 * nobody is joined to it any more: only here can that be seen. So can messages that got lost, of
 * which the MIDI library only writes to the terminal.
 *
 * @returns by the address of each port
 */
export function readJoins(text: string): Map<string, Joins> {
  const ports = new Map<string, Joins>();
  for (const section of text.split(/^(?=Client +\d+ :)/m)) {
    const client = /^Client +(\d+) :/.exec(section)?.[1];
    // The name is in quotes and may hold anything; what follows it says whose the client is.
    const kernel = /^.*"[^"]* \[Kernel/.test(section);
    if (client === undefined) continue;
    const missed = /^ {2}Input pool :[^]*?Alloc failures +: (\d+)/m.exec(section)?.[1] ?? '0';
    let peers = new Set<string>();
    for (const line of section.split('\n')) {
      const port = /^ {2}Port +(\d+) :/.exec(line)?.[1];
      const joined = /^ {4}(?:Connecting To|Connected From): (.*)$/.exec(line)?.[1];
      if (port !== undefined) {
        peers = new Set();
        ports.set(`${client}:${port}`, { peers, missed: Number(missed), kernel });
      } else if (joined !== undefined) {
        for (const [address] of joined.matchAll(/\b\d+:\d+\b/g)) peers.add(address);
      }
    }
  }
  return ports;
}
