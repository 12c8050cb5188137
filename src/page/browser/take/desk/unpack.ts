/** Thrown where nothing of a gzip could be unpacked. */
export class BadGzip extends Error {
  override readonly name = 'BadGzip';
}

/** A file's text; `cut` where its gzip breaks off, so that it holds what came before. */
export interface Unpacked {
  readonly text: string;
  readonly cut: boolean;
}

/**
 * The text of a file, gzipped or not: told by its content, not by its name.
 *
 * @throws BadGzip
 */
export async function unpack(bytes: Uint8Array<ArrayBuffer>): Promise<Unpacked> {
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) {
    return { text: new TextDecoder().decode(bytes), cut: false };
  }
  const reader = new Blob([bytes])
    .stream()
    .pipeThrough(new DecompressionStream('gzip'))
    .getReader();
  const decoder = new TextDecoder();
  let text = '';
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return { text: text + decoder.decode(), cut: false };
      text += decoder.decode(value, { stream: true });
    }
  } catch (error) {
    if (text === '') throw new BadGzip((error as Error).message);
    return { text, cut: true };
  }
}
