import { closest, distance } from 'fastest-levenshtein';

/** A port as the library lists it. */
export interface MidiPort {
  /** Its place in the library's list, good only until the next change. */
  readonly index: number;
  /** As people know it. */
  readonly name: string;
  /** Tells it from every other port of the list; names may come twice. */
  readonly id: string;
  /** ALSA's `client:port`; undefined on other systems. */
  readonly address: string | undefined;
}

/** ALSA's `client:port`, which RtMidi puts behind the name and which changes from run to run. */
const ADDRESS = / (\d+:\d+)$/;

/** Makes ports of the library's list of names. An empty one is a port that went while it was listed. */
export function readPorts(rawNames: readonly string[]): MidiPort[] {
  const times = new Map<string, number>();
  return rawNames.flatMap((raw, index) => {
    if (raw === '') return [];
    const before = times.get(raw) ?? 0;
    times.set(raw, before + 1);
    const address = ADDRESS.exec(raw)?.[1];
    const id = before === 0 ? raw : `${raw} #${String(before + 1)}`;
    return [{ index, name: raw.replace(ADDRESS, ''), id, address }];
  });
}

/** The ports with `part` in their name, in any case; those whose whole name it is come first. */
export function portsNamed(part: string, ports: readonly MidiPort[]): MidiPort[] {
  const wanted = part.trim().toLowerCase();
  const whole = (port: MidiPort): boolean => port.name.toLowerCase() === wanted;
  const found = ports.filter((port) => port.name.toLowerCase().includes(wanted));
  return [...found.filter(whole), ...found.filter((port) => !whole(port))];
}

/** The word or name among `names` that `part` was most likely meant to be. */
export function meant(part: string, names: readonly string[]): string | undefined {
  const wanted = part.trim().toLowerCase();
  const words = names.flatMap((name) => [name, ...name.split(':'), ...name.split(/[\s:]+/)]);
  const known = new Map(words.map((word) => [word.toLowerCase(), word]));
  if (known.size === 0) return undefined;
  const best = closest(wanted, [...known.keys()]);
  const near = Math.max(1, Math.floor(wanted.length / 3));
  return distance(wanted, best) <= near ? known.get(best) : undefined;
}

/** @example quoted(['a', 'b']) // '"a", "b"' */
export function quoted(names: readonly string[]): string {
  return names.map((name) => `"${name}"`).join(', ');
}
