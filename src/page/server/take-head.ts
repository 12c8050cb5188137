import { once } from 'node:events';
import { createReadStream } from 'node:fs';
import type { Readable } from 'node:stream';
import { constants, createGunzip } from 'node:zlib';

/** A room's header holds every seat's instrument, build and rules; what is longer is no take. */
const LONGEST_HEADER = 4_000_000;

/** The first line of a take, without reading the rest; null where the file cannot be read or has none. */
export async function firstLine(path: string): Promise<string | null> {
  const file = createReadStream(path);
  try {
    const parts: Buffer[] = [];
    let length = 0;
    for await (const bytes of unpacked(file)) {
      const end = bytes.indexOf(10);
      parts.push(end < 0 ? bytes : bytes.subarray(0, end));
      length += bytes.length;
      if (end >= 0 || length > LONGEST_HEADER) break;
    }
    return length > LONGEST_HEADER ? null : Buffer.concat(parts).toString('utf8');
  } catch {
    return null;
  } finally {
    file.destroy();
  }
}

/** What a file holds, gzipped or not (told by its content, not its name). */
async function* unpacked(file: Readable): AsyncGenerator<Buffer, void> {
  await once(file, 'readable');
  const first = file.read() as Buffer | null;
  if (!first) return;
  file.unshift(first);
  if (first[0] !== 0x1f || first[1] !== 0x8b) {
    yield* file as AsyncIterable<Buffer>;
    return;
  }
  const gunzip = createGunzip({ finishFlush: constants.Z_SYNC_FLUSH });
  file.on('error', (error) => gunzip.destroy(error));
  yield* file.pipe(gunzip) as AsyncIterable<Buffer>;
}
