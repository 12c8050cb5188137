import { crc7 } from './crc7.js';

/**
 * One scan of a board as a MIDI SysEx message. Every byte between F0 and F7 has 7 bits:
 *
 *     F0
 *     7D              ID for schools and research (MIDI 1.0 Detailed Specification 4.2.1, p. 34)
 *     70              "raw pads"
 *     01              version
 *     sequence        counts frames, 0 to 127, then 0 again
 *     time            4 bytes, highest first: the board's microseconds, modulo 2^28
 *     first           the first input, 0 to 127
 *     level           2 bytes, highest first, for that input and each after it
 *     check           CRC-7 of all from 7D to the last level
 *     F7
 *
 * The board's side of it is config/board/frame.h.
 */
export interface Frame {
  readonly sequence: number;
  readonly time: number;
  readonly first: number;
  readonly raws: readonly number[];
}

/** After this many microseconds (268 s) the time in a frame begins at 0 again. */
export const FRAME_TIME_WRAP = 2 ** 28;
/** Inputs are numbered from 0 to one less than this. */
export const FRAME_INPUTS = 128;
export const FRAME_FULL = 16383;

const ID = 0x7d;
const RAW_PADS = 0x70;
const VERSION = 1;
const LEVELS_AT = 9;

/** Why a SysEx is no frame: not meant to be one, or one of these faults. */
export type NoFrame = 'foreign' | 'version' | 'length' | 'checksum';

/** @param data what stands between F0 and F7, all below 128 */
export function readFrame(data: Uint8Array): Frame | NoFrame {
  if (data[0] !== ID || data[1] !== RAW_PADS) return 'foreign';
  if (data[2] !== VERSION) return 'version';
  const end = data.length - 1;
  const count = (end - LEVELS_AT) / 2;
  if (count < 0 || !Number.isInteger(count)) return 'length';
  if (crc7(data, 0, end) !== data[end]) return 'checksum';
  const first = data[8]!;
  if (first + count > FRAME_INPUTS) return 'length';
  const raws: number[] = [];
  for (let at = LEVELS_AT; at < end; at += 2) raws.push((data[at]! << 7) | data[at + 1]!);
  const time = (data[4]! << 21) | (data[5]! << 14) | (data[6]! << 7) | data[7]!;
  return { sequence: data[3]!, time, first, raws };
}

/** The whole message, F0 to F7. Sequence and time are taken modulo 128 and 2^28; the rest is in range. */
export function writeFrame(frame: Frame): Uint8Array {
  const { sequence, time, first, raws } = frame;
  const bytes = new Uint8Array(LEVELS_AT + 2 * raws.length + 3);
  const ticks = time % FRAME_TIME_WRAP;
  bytes.set([0xf0, ID, RAW_PADS, VERSION, sequence % 128]);
  bytes.set([ticks >> 21, (ticks >> 14) & 0x7f, (ticks >> 7) & 0x7f, ticks & 0x7f, first], 5);
  let at = LEVELS_AT + 1;
  for (const raw of raws) {
    bytes[at++] = raw >> 7;
    bytes[at++] = raw & 0x7f;
  }
  bytes[at] = crc7(bytes, 1, at);
  bytes[at + 1] = 0xf7;
  return bytes;
}
