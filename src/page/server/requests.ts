import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http';
import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { FileFault, problemWhat, problemWhere } from '../../instrument/fault.js';
import { fileTrouble } from '../../ports/files/fault.js';
import type { FetchFault } from '../link/fetches.js';
import { NO_KEY, type Gate } from './gate.js';
import { NAMED, type NamedFiles } from './named-files.js';
import type { PageFile } from './page-files.js';
import { begin, sendFault, sendFile, sendJson, sendOn, sendWords } from './replies.js';
import type { Takes } from './takes.js';

/** What requests are answered from; each of them only looks. */
export interface RequestParts {
  readonly files: ReadonlyMap<string, PageFile>;
  readonly gate: Gate;
  readonly takes: Takes;
  readonly named: NamedFiles;
}

const NOT_THERE: FetchFault = {
  what: 'There is nothing under this address',
  next: 'Open the page by the link that the program printed',
};

const NOT_BUILT: FetchFault = {
  what: 'The page is missing from this program',
  next: 'Install it again; where you build it yourself, run "npm run build"',
};

/**
 * Answers requests for the page and what it fetches (`link/fetches.ts`). A path is compared with what
 * is there, and never made a path on the disk.
 */
export function answering(parts: RequestParts): RequestListener {
  return (request, response) => {
    answer(parts, request, response).catch((error: unknown) => {
      if (response.headersSent) response.destroy();
      else sendFault(response, 422, faultOf(error));
    });
  };
}

async function answer(
  parts: RequestParts,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const { gate, files } = parts;
  const refused = gate.refused(request);
  if (refused) {
    sendWords(response, 403, refused);
    return;
  }
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.setHeader('Allow', 'GET, HEAD');
    const next = 'Ask for it with GET';
    sendFault(response, 405, { what: 'Here is only what can be looked at', next });
    return;
  }
  const [path = '', query = ''] = (request.url ?? '').split('?', 2);
  const key = path === '/' ? new URLSearchParams(query).get('key') : null;
  const cookie = key === null ? undefined : gate.cookieFor(key);
  if (cookie === null) {
    sendWords(response, 401, NO_KEY);
    return;
  }
  if (cookie !== undefined) {
    // The key leaves the address bar.
    sendOn(response, '/', cookie);
    return;
  }
  const file = files.get(path);
  if (file) {
    sendFile(request, response, file);
    return;
  }
  if (path === '/') {
    sendWords(response, 503, NOT_BUILT);
    return;
  }
  if (gate.roleOf(request) === null) {
    sendFault(response, 401, NO_KEY);
    return;
  }
  await fetched(parts, path, response);
}

async function fetched(
  { takes, named }: RequestParts,
  path: string,
  response: ServerResponse,
): Promise<void> {
  const [, kind = '', part, ...rest] = path.split('/');
  const name = part === undefined ? null : decoded(part);
  const own = Object.hasOwn(NAMED, kind) ? NAMED[kind] : undefined;
  if (rest.length > 0 || name === undefined) {
    sendFault(response, 404, NOT_THERE);
  } else if (name === null && kind === 'takes') {
    await takes.refresh();
    sendJson(response, takes.list);
  } else if (name === null && own) {
    sendJson(response, await named.names(own));
  } else if (name !== null && own && name.endsWith('.json')) {
    const value = await named.read(own, name.slice(0, -'.json'.length));
    if (value !== null) sendJson(response, value);
    else sendFault(response, 404, missing(name, kind));
  } else if (name !== null && kind === 'takes') {
    const at = takes.pathOf(name);
    if (at === null) sendFault(response, 404, missing(name, kind));
    else await sendTake(response, at);
  } else {
    sendFault(response, 404, NOT_THERE);
  }
}

/** As long as it is now: one that is being recorded grows meanwhile. */
async function sendTake(response: ServerResponse, path: string): Promise<void> {
  const file = await open(path);
  try {
    const { size } = await file.stat();
    const type = path.endsWith('.gz') ? 'application/gzip' : 'application/x-ndjson; charset=utf-8';
    begin(response, 200, {
      'Cache-Control': 'no-store',
      'Content-Type': type,
      'Content-Length': String(size),
    });
    const bytes = size === 0 ? Readable.from([]) : file.createReadStream({ end: size - 1 });
    // Where it breaks off, the connection does too, by which the browser knows.
    await pipeline(bytes, response);
  } finally {
    await file.close();
  }
}

function missing(name: string, kind: string): FetchFault {
  return {
    what: `There is no "${name.slice(0, 100)}" among the ${kind}`,
    next: 'Choose another one from the list; load the page again where it shows one that is gone',
  };
}

function decoded(part: string): string | undefined {
  try {
    return decodeURIComponent(part);
  } catch {
    return undefined;
  }
}

function faultOf(error: unknown): FetchFault {
  if (error instanceof FileFault) {
    const [first, ...others] = error.problems;
    const more = others.length === 0 ? '' : ` (and ${String(others.length)} more)`;
    const what = first ? `${problemWhere(first)}: ${problemWhat(first)}${more}` : error.message;
    return { what, next: first?.fix ?? 'Fix the file' };
  }
  return { what: fileTrouble(error), next: 'Load the page again, then choose again' };
}
