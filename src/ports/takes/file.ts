import { once } from 'node:events';
import { createWriteStream, openSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { finished } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { formatHeader, formatTakeLine, type TakeHeader } from '../../takes/take.js';
import type { WireEvent } from '../../wire/scan.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';
import { makeFolder } from '../files/make-folder.js';

/**
 * Writes a whole file, and its folder where there is none.
 *
 * @throws TakeFileFault where it cannot be written
 */
export function writeWhole(path: string, bytes: Uint8Array): void {
  try {
    makeFolder(dirname(path));
    writeFileSync(path, bytes);
  } catch (error) {
    throw new TakeFileFault(`${path}: ${fileTrouble(error)}`);
  }
}

/** Lines on their way to a file. */
export interface LineFile {
  readonly path: string;
  write(line: string): void;
  /** Resolves when the disk has caught up: for whoever makes lines faster than it takes them. */
  drained(): Promise<void>;
  /** Resolves as soon as something could not be written, after which nothing more is. */
  readonly failed: Promise<TakeFileFault>;
  /** Resolves when all is on the disk; rejects with TakeFileFault where it could not be written. */
  close(): Promise<void>;
}

/**
 * Begins a file of lines, and its folder where there is none; gzipped where the name ends in `.gz`.
 *
 * @throws TakeFileFault where it cannot be written to, so that nothing is played in vain
 */
export function openLines(path: string): LineFile {
  let trouble: unknown = null;
  let fd: number;
  try {
    makeFolder(dirname(path));
    fd = openSync(path, 'w');
  } catch (error) {
    throw new TakeFileFault(`${path}: ${fileTrouble(error)}`);
  }
  const file = createWriteStream(path, { fd });
  const gzip = path.endsWith('.gz') ? createGzip() : null;
  gzip?.pipe(file);
  const sink = gzip ?? file;
  const failed = new Promise<TakeFileFault>((resolve) => {
    file.on('error', (error) => {
      trouble ??= error;
      resolve(new TakeFileFault(`${path}: ${fileTrouble(error)}`));
    });
  });
  return {
    path,
    failed,
    write: (line) => {
      if (trouble === null) sink.write(`${line}\n`);
    },
    drained: async () => {
      if (trouble === null && sink.writableNeedDrain) {
        await Promise.race([once(sink, 'drain'), failed]);
      }
    },
    close: async () => {
      sink.end();
      if (trouble === null) await finished(file).catch((error: unknown) => (trouble ??= error));
      if (trouble !== null) throw new TakeFileFault(`${path}: ${fileTrouble(trouble)}`);
    },
  };
}

/** A take while it is recorded. */
export interface TakeRecorder {
  readonly path: string;
  record(event: WireEvent): void;
  /** Resolves as soon as something could not be written. */
  readonly failed: Promise<TakeFileFault>;
  close(): Promise<void>;
}

/**
 * Begins to record a take. Inputs that its header does not count belong to no pad and are left out.
 *
 * @throws TakeFileFault where the file cannot be written to
 */
export function recordTake(path: string, header: TakeHeader): TakeRecorder {
  const lines = openLines(path);
  lines.write(formatHeader(header));
  return {
    path,
    failed: lines.failed,
    record: (event) => {
      lines.write(formatTakeLine(withKnown(event, header.inputs)));
    },
    close: () => lines.close(),
  };
}

/** The same without inputs that a take does not count. */
export function withKnown(event: WireEvent, count: number): WireEvent {
  const known = (input: number): boolean => input < count;
  if (event.type !== 'scan' || event.inputs.every(known)) return event;
  const inputs = event.inputs.filter(known);
  const raws = event.raws.filter((_, i) => known(event.inputs[i]!));
  return { ...event, inputs, raws };
}
