import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { pipeline } from 'node:stream';
import { StringDecoder } from 'node:string_decoder';
import { constants, createGunzip } from 'node:zlib';
import { encodingFault } from '../../instrument/encoding.js';
import { NotATake, type TakeText } from '../../takes/read.js';
import { TakeFileFault } from '../files/fault.js';

/** So much of a file is read at once, in bytes: also of a gzip, whose pieces may be a thousand times as long. */
const PIECE = 131_072;
const UNPACKED_PIECE = 65_536;
/** How much of a file is looked at for its encoding, in bytes. */
const HEAD = 4_096;

/**
 * What a file holds in pieces, gzipped or not (told by its content, not its name). A gzip that breaks
 * off is read as far as it goes. Rejects with the system's error, or that of the gzip.
 *
 * @param size bytes of the file to read; left out: all that come
 */
export async function* piecesOf(
  path: string,
  size = Infinity,
): AsyncGenerator<Buffer, void, undefined> {
  if (size === 0) return;
  const stream = createReadStream(path, { highWaterMark: PIECE, end: size - 1 });
  const file = stream[Symbol.asyncIterator]() as AsyncIterableIterator<Buffer>;
  try {
    const first = await file.next();
    if (first.done) return;
    const { value } = first;
    if (value[0] !== 0x1f || value[1] !== 0x8b) {
      yield value;
      yield* file;
      return;
    }
    const packed = async function* (): AsyncGenerator<Buffer, void> {
      yield value;
      yield* file;
    };
    const gunzip = createGunzip({
      finishFlush: constants.Z_SYNC_FLUSH,
      chunkSize: UNPACKED_PIECE,
    });
    // What fails on the way is thrown to whoever reads from the end of it.
    pipeline(packed, gunzip, () => undefined);
    try {
      yield* gunzip as AsyncIterable<Buffer>;
    } finally {
      gunzip.destroy();
    }
  } finally {
    stream.destroy();
  }
}

/**
 * The text of a file, from its start each time; of one that is still being written, as much as there is
 * now. What comes through a pipe can be read once only, apart from its first piece.
 */
export async function textOfFile(path: string): Promise<TakeText> {
  const stats = await stat(path);
  if (stats.isDirectory()) throw Object.assign(new Error('it is a folder'), { code: 'EISDIR' });
  return stats.isFile() ? () => decoded(piecesOf(path, stats.size)) : onceOnly(path);
}

async function* decoded(pieces: AsyncIterable<Buffer>): AsyncGenerator<string, void> {
  const decoder = new StringDecoder('utf8');
  let first = true;
  for await (const piece of pieces) {
    const wrong = first && encodingFault(piece.subarray(0, HEAD), piece.length <= HEAD);
    if (wrong) throw new NotATake(`found ${wrong.found}, not UTF-8; ${wrong.fix}`);
    first = false;
    yield decoder.write(piece);
  }
  const rest = decoder.end();
  if (rest !== '') yield rest;
}

/** What was read for the header is kept for the first reading of the whole. */
function onceOnly(path: string): TakeText {
  const source = decoded(piecesOf(path));
  const head: string[] = [];
  let readings = 0;
  return async function* (): AsyncGenerator<string, void> {
    readings += 1;
    if (readings > 2) {
      throw new TakeFileFault(
        `${path}: it comes through a pipe, which can be read once only; save it to a file first`,
      );
    }
    yield* head.splice(0);
    for (;;) {
      const { done, value } = await source.next();
      if (done) return;
      if (readings === 1) head.push(value);
      yield value;
    }
  };
}
