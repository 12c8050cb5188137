import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A file of the page itself, in memory. */
export interface PageFile {
  readonly bytes: Buffer;
  readonly type: string;
  /** Changes with its content. */
  readonly tag: string;
}

/** All that is served of the page, by the path that is asked for: nothing else is there. */
const FILES = [
  { path: '/', file: 'index.html', type: 'text/html; charset=utf-8' },
  { path: '/page.js', file: 'page.js', type: 'text/javascript; charset=utf-8' },
  { path: '/page.css', file: 'page.css', type: 'text/css; charset=utf-8' },
  { path: '/sound/worklet.js', file: 'sound/worklet.js', type: 'text/javascript; charset=utf-8' },
  { path: '/take/worker.js', file: 'take/worker.js', type: 'text/javascript; charset=utf-8' },
] as const;

/** Reads the page's files, once; those that were not built are left out. */
export function readPageFiles(folder: string): ReadonlyMap<string, PageFile> {
  const files = new Map<string, PageFile>();
  for (const { path, file, type } of FILES) {
    const bytes = read(join(folder, file));
    if (bytes) files.set(path, { bytes, type, tag: tagOf(bytes) });
  }
  return files;
}

function read(path: string): Buffer | null {
  try {
    return readFileSync(path);
  } catch {
    return null;
  }
}

function tagOf(bytes: Buffer): string {
  return `"${createHash('sha256').update(bytes).digest('base64url').slice(0, 22)}"`;
}
