import { statfsSync } from 'node:fs';
import { formatTakeLine } from '../../takes/take.js';
import type { SeatPlan } from '../../pipeline.js';
import type { Notice } from '../contracts.js';
import { shown } from '../files/find.js';

/** What is counted with: the fastest boards send this many scans a second. */
const SCANS_A_SECOND = 250;
/** A board that decides itself what is a touch, or hands on notes, says this much a second at most. */
const EVENTS_A_SECOND = 20;
/** 16 bits, stereo, 48 kHz. */
const WAV_BYTES_A_SECOND = 192_000;
const HOUR = 3_600;

type Plan = Pick<SeatPlan, 'pads' | 'made'>;

/** How many bytes an hour of one seat takes as a take, at most. */
export function takeBytesAnHour({ pads, made }: Plan): number {
  const count = pads.build?.wiring.length ?? pads.pads;
  const inputs = Array.from({ length: count }, (_, input) => input);
  const raws = inputs.map(() => Math.floor(pads.full / 2));
  const line = formatTakeLine({ type: 'scan', t: HOUR * 500_000, inputs, raws }).length + 1;
  const rate = pads.decided || made === true ? EVENTS_A_SECOND : SCANS_A_SECOND;
  return line * rate * HOUR;
}

/** The same of a recording of a room: each seat's take, one of all of them, and a WAV. */
export function roomBytesAnHour(plans: readonly Plan[]): number {
  const takes = plans.reduce((sum, plan) => sum + takeBytesAnHour(plan), 0);
  return 2 * takes + WAV_BYTES_A_SECOND * HOUR;
}

/**
 * What to tell as a recording begins: where it goes, what an hour of it takes, and what is free.
 *
 * @param folder that it is in; it exists
 */
export function diskNotice(path: string, folder: string, bytesAnHour: number): Notice {
  const what = `Recording to ${shown(path)}: an hour takes up to ${sizeWords(bytesAnHour)}`;
  const free = freeBytes(folder);
  if (free === null) return { level: 'info', what };
  const all = `${what}, and ${sizeWords(free)} are free`;
  if (free >= bytesAnHour) return { level: 'info', what: all };
  const minutes = Math.floor((60 * free) / bytesAnHour);
  const next = `Make room on the disk: it may be full after ${String(minutes)} ${minutes === 1 ? 'minute' : 'minutes'}`;
  return { level: 'warn', what: all, next };
}

/** @example sizeWords(1_440_000_000) // '1.4 GB' */
export function sizeWords(bytes: number): string {
  if (bytes >= 999.5e6) return `${(bytes / 1e9).toFixed(bytes < 9.95e9 ? 1 : 0)} GB`;
  return `${String(Math.ceil(bytes / 1e6))} MB`;
}

/** null where the system does not say. */
function freeBytes(folder: string): number | null {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize;
  } catch {
    return null;
  }
}
