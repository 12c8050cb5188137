import type { TakeText } from '../../../../takes/read.js';
import { BadGzip, DeskFault } from './faults.js';

/** A file's text in pieces, from its start each time. */
export interface Unpacked {
  readonly text: TakeText;
  /** Whether its gzip broke off, as far as it was read: it holds what came before. */
  cut(): boolean;
}

const PIECE = 262_144;
/** More notes than anybody wants, in characters. */
const LONGEST_TEXT = 64_000_000;

/**
 * What a file holds, gzipped or not: told by its content, not by its name. Reading the text rejects with
 * BadGzip where nothing of it could be unpacked.
 */
export function unpack(bytes: Uint8Array<ArrayBuffer>): Unpacked {
  let broken = false;
  const packed = bytes[0] === 0x1f && bytes[1] === 0x8b;

  function* slices(): Generator<string, void> {
    const decoder = new TextDecoder();
    for (let at = 0; at < bytes.length; at += PIECE) {
      yield decoder.decode(bytes.subarray(at, at + PIECE), { stream: true });
    }
    yield decoder.decode();
  }

  async function* unpacked(): AsyncGenerator<string, void> {
    const reader = new Blob([bytes])
      .stream()
      .pipeThrough(new DecompressionStream('gzip'))
      .getReader();
    const decoder = new TextDecoder();
    let some = false;
    try {
      for (;;) {
        const { done, value } = await reader.read().catch((error: unknown) => {
          if (!some) throw new BadGzip((error as Error).message);
          broken = true;
          return { done: true, value: undefined } as const;
        });
        if (done) break;
        some = true;
        yield decoder.decode(value, { stream: true });
      }
      yield decoder.decode();
    } finally {
      await reader.cancel().catch(() => undefined);
    }
  }

  return { text: packed ? unpacked : slices, cut: () => broken };
}

/**
 * All of a text at once.
 *
 * @throws DeskFault where it is too long for that
 */
export async function wholeText({ text }: Unpacked): Promise<string> {
  let whole = '';
  for await (const piece of text()) {
    whole += piece;
    if (whole.length > LONGEST_TEXT) throw new DeskFault({ kind: 'too-long' });
  }
  return whole;
}
