import { piecesOf } from '../../ports/takes/text.js';
import { LONGEST_LINE } from '../../takes/lines.js';

/** The first line of a take, without reading the rest; null where the file cannot be read or has none. */
export async function firstLine(path: string): Promise<string | null> {
  try {
    const parts: Buffer[] = [];
    let length = 0;
    for await (const bytes of piecesOf(path)) {
      const end = bytes.indexOf(10);
      parts.push(end < 0 ? bytes : bytes.subarray(0, end));
      length += bytes.length;
      if (end >= 0 || length > LONGEST_LINE) break;
    }
    return length > LONGEST_LINE ? null : Buffer.concat(parts).toString('utf8');
  } catch {
    return null;
  }
}
