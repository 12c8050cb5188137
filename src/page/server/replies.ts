import type { IncomingMessage, ServerResponse } from 'node:http';
import type { FetchFault } from '../link/fetches.js';
import type { PageFile } from './page-files.js';

/** What every answer says: the page loads nothing from elsewhere, and nobody else has it inside theirs. */
const HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': [
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "connect-src 'self'",
    "img-src 'self' data:",
    "worker-src 'self'",
    "font-src 'none'",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Resource-Policy': 'same-origin',
};

/** Begins an answer; its body is still to be written. */
export function begin(
  response: ServerResponse,
  status: number,
  headers: Readonly<Record<string, string>>,
): void {
  response.writeHead(status, { ...HEADERS, ...headers });
}

function whole(
  response: ServerResponse,
  status: number,
  body: Buffer,
  headers: Readonly<Record<string, string>>,
): void {
  begin(response, status, { ...headers, 'Content-Length': String(body.length) });
  response.end(body);
}

/** A file of the page, unless the browser has it already. */
export function sendFile(request: IncomingMessage, response: ServerResponse, file: PageFile): void {
  const headers = { 'Cache-Control': 'no-cache', ETag: file.tag };
  const known = (request.headers['if-none-match'] ?? '').split(/, */);
  if (known.includes(file.tag)) {
    begin(response, 304, headers);
    response.end();
    return;
  }
  whole(response, 200, file.bytes, { ...headers, 'Content-Type': file.type });
}

export function sendJson(response: ServerResponse, value: unknown, status = 200): void {
  whole(response, status, Buffer.from(JSON.stringify(value)), {
    'Cache-Control': 'no-store',
    'Content-Type': 'application/json; charset=utf-8',
  });
}

/** Why something cannot be had, for a script. */
export function sendFault(response: ServerResponse, status: number, fault: FetchFault): void {
  sendJson(response, fault, status);
}

/** The same for a person who opened a link. */
export function sendWords(response: ServerResponse, status: number, fault: FetchFault): void {
  whole(response, status, Buffer.from(`${fault.what}.\n${fault.next}.\n`), {
    'Cache-Control': 'no-store',
    'Content-Type': 'text/plain; charset=utf-8',
  });
}

/** Sends the browser elsewhere, with a cookie. */
export function sendOn(response: ServerResponse, to: string, cookie: string): void {
  whole(response, 303, Buffer.alloc(0), {
    'Cache-Control': 'no-store',
    Location: to,
    'Set-Cookie': cookie,
  });
}
