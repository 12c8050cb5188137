import type { Build, Instrument, Rules } from '../../../../instrument/types.js';
import type { TakeFiles } from '../../../../takes/take-plan.js';
import type { FetchFault } from '../../../link/fetches.js';
import { DeskFault } from './faults.js';

/** What the desk needs of the service. */
export interface Service extends TakeFiles {
  /** @param progress told what share has come, null where that is not known */
  take(name: string, progress: (share: number | null) => void): Promise<Uint8Array<ArrayBuffer>>;
}

/**
 * Fetches from the service, as `link/fetches.ts` says. Each rejects with DeskFault, in the words of the
 * service where it answered.
 *
 * @param base where the page is
 */
export function serviceAt(base: string, get: typeof fetch = fetch): Service {
  const json = async <Value>(path: string): Promise<Value> =>
    (await (await asked(path)).json()) as Value;

  async function asked(path: string): Promise<Response> {
    let response: Response;
    try {
      response = await get(new URL(path, base));
    } catch {
      throw new DeskFault({ kind: 'unreachable' });
    }
    if (response.ok) return response;
    const fault = (await response.json().catch(() => null)) as Partial<FetchFault> | null;
    const what = fault?.what ?? `${path}: status ${String(response.status)}`;
    throw new DeskFault({ kind: 'words', what, next: fault?.next ?? '' });
  }

  return {
    async take(name, progress) {
      const response = await asked(`takes/${encodeURIComponent(name)}`);
      return whole(response, progress);
    },
    instrument: (name) => json<Instrument>(`instruments/${encodeURIComponent(name)}.json`),
    build: (name) => json<Build>(`builds/${encodeURIComponent(name)}.json`),
    rules: (name) => json<Rules>(`rules/${encodeURIComponent(name)}.json`),
    // Whether they name a module of somebody's own is looked at when they are run.
    carried: (rules) => Promise.resolve(rules),
  };
}

async function whole(
  response: Response,
  progress: (share: number | null) => void,
): Promise<Uint8Array<ArrayBuffer>> {
  const packed = response.headers.get('content-encoding') !== null;
  const length = packed ? NaN : Number(response.headers.get('content-length') ?? NaN);
  const parts: Uint8Array[] = [];
  let size = 0;
  const reader = response.body?.getReader();
  try {
    for (;;) {
      const read = await reader?.read();
      if (!read || read.done) break;
      parts.push(read.value);
      size += read.value.length;
      progress(length > 0 ? Math.min(1, size / length) : null);
    }
  } catch {
    throw new DeskFault({ kind: 'unreachable' });
  }
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}
