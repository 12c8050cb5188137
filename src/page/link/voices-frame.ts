import { FRAME } from './frames.js';

/** What a voices frame says (see `frames.ts`). */
export interface VoicesFrame {
  /** Some were lost before these: end all that sounds first. */
  readonly lost: boolean;
  /** The service's time as this was sent, in µs. */
  readonly now: number;
  readonly count: number;
  /** `count` records of one size each, as `voice-record.ts` writes and reads them. */
  readonly records: Uint8Array;
}

const HEAD = 16;

/** Writes a frame of at most 65 535 records, in memory of its own. */
export function encodeVoices({ lost, now, count, records }: VoicesFrame): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(HEAD + records.length);
  const view = new DataView(bytes.buffer);
  bytes[0] = FRAME.voices;
  bytes[1] = lost ? 1 : 0;
  view.setUint16(2, count, true);
  view.setFloat64(8, now, true);
  bytes.set(records, HEAD);
  return bytes;
}

/**
 * Reads a frame. Its records are where they were, not copied.
 *
 * @param size of one record, in bytes
 * @returns null where it is no voices frame of such records
 */
export function decodeVoices(bytes: Uint8Array, size: number): VoicesFrame | null {
  if (bytes.length < HEAD || bytes[0] !== FRAME.voices) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = view.getUint16(2, true);
  if (bytes.length !== HEAD + count * size) return null;
  const records = bytes.subarray(HEAD);
  return { lost: bytes[1] === 1, now: view.getFloat64(8, true), count, records };
}
