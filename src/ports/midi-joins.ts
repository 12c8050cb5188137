/**
 * Reads ALSA's list of clients (`/proc/asound/seq/clients`): who is joined to whom.
 *
 * A port that was unplugged and plugged in again within a second has its old name and address, but
 * nobody is joined to it any more: only here can that be seen.
 *
 * @returns by the address (`client:port`) of each port, the addresses at the other end of its joins
 */
export function readJoins(text: string): Map<string, Set<string>> {
  const ports = new Map<string, Set<string>>();
  let client = '';
  let peers = new Set<string>();
  for (const line of text.split('\n')) {
    const newClient = /^Client +(\d+) :/.exec(line);
    const newPort = /^ {2}Port +(\d+) :/.exec(line);
    const joined = /^ {4}(?:Connecting To|Connected From): (.*)$/.exec(line);
    if (newClient) {
      client = newClient[1]!;
    } else if (newPort) {
      peers = new Set();
      ports.set(`${client}:${newPort[1]!}`, peers);
    } else if (joined) {
      for (const [address] of joined[1]!.matchAll(/\b\d+:\d+\b/g)) peers.add(address);
    }
  }
  return ports;
}
