/** Why bytes are no UTF-8 text, in the parts of a Problem. */
export interface EncodingFault {
  /** Counted from 1; null where it is the file as a whole. */
  readonly line: number | null;
  readonly found: string;
  readonly fix: string;
}

/** How many bytes are looked at for what they are encoded as. */
const HEAD = 4_096;

const SAVE_AGAIN =
  'Save it again in your editor as UTF-8 ("Save as", "Encoding: UTF-8"; in Windows Notepad: UTF-8)';

/**
 * What a text is encoded as, where it is not UTF-8; null where it is. A byte order mark of UTF-8 is fine.
 *
 * @param whole false where it is only the beginning of a text, which may break off within a character
 */
export function encodingFault(bytes: Uint8Array, whole = true): EncodingFault | null {
  const utf16 = utf16Of(bytes);
  if (utf16 !== null) return { line: null, found: `a text saved as ${utf16}`, fix: SAVE_AGAIN };
  const at = firstWrong(bytes, whole);
  if (at === null) return null;
  let line = 1;
  for (let i = bytes.indexOf(0x0a); i >= 0 && i < at; i = bytes.indexOf(0x0a, i + 1)) line += 1;
  const byte = bytes[at]!;
  const looks = new TextDecoder('windows-1252').decode(bytes.subarray(at, at + 1));
  const sign = byte >= 0xa0 ? `, which may be meant as "${looks}"` : '';
  return {
    line,
    found: `a byte (${String(byte)}${sign}) that is no UTF-8 text`,
    fix: SAVE_AGAIN,
  };
}

/** By its byte order mark, or by a zero in every second byte. */
function utf16Of(bytes: Uint8Array): string | null {
  const [a, b] = bytes;
  if ((a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff)) return 'UTF-16';
  const head = bytes.subarray(0, HEAD);
  if (head.length < 4) return null;
  let [even, odd] = [0, 0];
  head.forEach((byte, i) => {
    if (byte === 0 && i % 2 === 0) even += 1;
    if (byte === 0 && i % 2 === 1) odd += 1;
  });
  const most = Math.max(even, odd);
  // Letters, digits and signs of our files are all below 256, so one byte of each is zero.
  return most > head.length / 4 && Math.min(even, odd) < most / 8 ? 'UTF-16' : null;
}

/** Where the first byte is that is part of no UTF-8 character, or null. */
function firstWrong(bytes: Uint8Array, whole: boolean): number | null {
  const isRight = (end: number, stream = true): boolean => {
    try {
      // As a part of a stream it may break off within a character.
      new TextDecoder('utf-8', { fatal: true }).decode(bytes.subarray(0, end), { stream });
      return true;
    } catch {
      return false;
    }
  };
  if (isRight(bytes.length, !whole)) return null;
  let [right, wrong] = [0, bytes.length];
  while (wrong - right > 1) {
    const middle = (right + wrong) >> 1;
    if (isRight(middle)) right = middle;
    else wrong = middle;
  }
  return right;
}
