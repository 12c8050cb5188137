import type { UsbUnit } from './usb.js';

/** All by which a unit may be told from others of its kind. */
export interface UnitId extends UsbUnit {
  /** Which of the device's MIDI ports it is, as `device:port`. */
  readonly midi: string;
}

/** Whether two sightings are of one unit; `unknown`: they may be, as far as anybody can tell. */
export type Sameness = 'same' | 'other' | 'unknown';

/** ALSA gives each card this many sequencer clients, from this number on (sound/core/seq, Linux). */
const FIRST_CARD_CLIENT = 16;
const CLIENTS_PER_CARD = 4;

/**
 * The card that a sequencer client of the kernel belongs to, and which of the card's clients it is.
 *
 * @param address ALSA's `client:port`
 */
export function cardOf(address: string): { card: number; midi: string } | undefined {
  const [client = NaN, port = NaN] = address.split(':').map(Number);
  const from = client - FIRST_CARD_CLIENT;
  if (!(from >= 0) || Number.isNaN(port)) return undefined;
  const device = from % CLIENTS_PER_CARD;
  return {
    card: Math.floor(from / CLIENTS_PER_CARD),
    midi: `${String(device)}:${String(port)}`,
  };
}

/**
 * What a serial number is worth. Makers of cheap boards often give all of them the same one: `alike`
 * holds those that were seen on two boards at once.
 *
 * @returns undefined where there is no serial number that tells the unit from others
 */
export function serialOf(id: UnitId, alike: ReadonlySet<string>): string | undefined {
  if (id.serial === null) return undefined;
  const key = serialKey(id);
  return alike.has(key) ? undefined : key;
}

/** A serial number with whose it is; undefined where there is none. */
export function serialKey(id: UnitId): string {
  return `${id.usb} ${id.serial ?? ''}`;
}

/**
 * Compares a unit that is there with one that is remembered: by serial numbers where they tell
 * anything, else by the socket. A unit in another socket may be the same one, moved.
 */
export function compare(now: UnitId | null, before: UnitId, alike: ReadonlySet<string>): Sameness {
  if (now === null) return 'unknown';
  if (now.usb !== before.usb || now.midi !== before.midi) return 'other';
  const [a, b] = [serialOf(now, alike), serialOf(before, alike)];
  if (a !== undefined || b !== undefined) return a === b ? 'same' : 'other';
  return now.socket === before.socket ? 'same' : 'unknown';
}

/** Serial numbers that are on several of these units. */
export function alikeAmong(ids: readonly UnitId[]): string[] {
  const sockets = new Map<string, Set<string>>();
  for (const id of ids) {
    if (id.serial === null) continue;
    const key = serialKey(id);
    sockets.set(key, (sockets.get(key) ?? new Set()).add(id.socket));
  }
  return [...sockets].filter(([, at]) => at.size > 1).map(([key]) => key);
}

/** What tells a unit from others, in words; empty where nothing does. */
export function idWords(id: UnitId | null, alike: ReadonlySet<string>): string {
  if (id === null) return '';
  const socket = `USB socket ${id.socket}`;
  return serialOf(id, alike) === undefined ? socket : `serial ${id.serial ?? ''}, ${socket}`;
}
