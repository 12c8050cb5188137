import { meant, portsNamed, quoted, type MidiPort } from './names.js';
import type { Direction } from './system.js';

/** The port to take, or why there is none, in words for a notice. */
export type Choice =
  | { readonly port: MidiPort; readonly note: string | undefined }
  | { readonly port: undefined; readonly what: string; readonly next: string };

/** Chooses the first free port with `part` in its name; one whose whole name it is goes first. */
export function choosePort(
  part: string,
  direction: Direction,
  ports: readonly MidiPort[],
  taken: ReadonlySet<string>,
): Choice {
  const found = portsNamed(part, ports);
  const port = found.find(({ id }) => !taken.has(id));
  if (port) {
    const many = `${String(found.length)} ports have "${part}" in their names; this is the first free one`;
    return { port, note: found.length > 1 ? many : undefined };
  }
  const names = ports.map(({ name }) => name);
  const here = names.length === 0 ? 'there is no such port at all' : `there are ${quoted(names)}`;
  if (found.length > 0) {
    return {
      port,
      what: `every MIDI ${direction} port with "${part}" in its name is already in use here`,
      next: `Plug in another one, or change the room file; now ${here}`,
    };
  }
  const guess = meant(part, names);
  const hint = guess === undefined ? '' : `. Did you mean "${guess}"?`;
  return {
    port,
    what: `no MIDI ${direction} port has "${part}" in its name`,
    next: `Plug it in: it is taken up within a second. Now ${here}${hint}`,
  };
}
