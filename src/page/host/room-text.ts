import { isMap, isScalar, isSeq, parseDocument, stringify } from 'yaml';
import { isDeepStrictEqual } from 'node:util';
import { parseRoom } from '../../instrument/room.js';

/**
 * A room file in which a seat names other rules or another build. All else of it stays as it is
 * written, and so do its comments.
 *
 * @param seat its name
 * @returns null where there is no such seat, or the file is written so that this cannot be done for this seat alone
 */
export function withSeatFile(
  text: string,
  seat: string,
  key: 'rules' | 'build',
  name: string,
): string | null {
  const wanted = parseRoom(text, 'room');
  const at = wanted.seats.findIndex((one) => one.name === seat);
  if (at < 0) return null;
  const changed = replaced(text, at, key, name);
  if (changed === null) return null;
  // Read as it will be: only this one thing may be another now.
  const seats = wanted.seats.map((one, i) => (i === at ? { ...one, [key]: name } : one));
  try {
    return isDeepStrictEqual(parseRoom(changed, 'room'), { ...wanted, seats }) ? changed : null;
  } catch {
    return null;
  }
}

function replaced(text: string, seat: number, key: string, name: string): string | null {
  const document = parseDocument(text, { schema: 'core' });
  const seats = document.get('seats');
  const one = isSeq(seats) ? seats.items[seat] : undefined;
  if (!isMap(one)) return null;
  const old = one.get(key, true);
  if (isScalar(old) && old.range && !old.anchor) {
    const [from, to] = old.range;
    // In place, so that how the file is laid out stays too.
    if (to > from) return text.slice(0, from) + stringify(name).trim() + text.slice(to);
  }
  one.set(key, name);
  return document.toString({ lineWidth: 0 });
}

/** A shipped room's text as a person's own: without the line that tells editors where its schema is. */
export function asOwn(text: string): string {
  return text.replace(/^# yaml-language-server:.*\n/m, '');
}
