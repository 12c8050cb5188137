import { resolve } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { FileFault } from '../../instrument/fault.js';
import { watchFiles } from './watch.js';
import type { FilesThreadData, FromFiles, Read, ToFiles } from './shared.js';

/*
 * The thread that watches and reads the files of a room that plays. What is in them is up to whoever writes
 * them, so that reading may take long; here it holds up no touch.
 */

/** A file that is being written may be half there, or gone, for a moment. */
const AGAIN_MS = 60;
const TRIES = 4;
const GONE_MS = 1_000;

const port = parentPort!;
const { name, folder, ...start } = workerData as FilesThreadData;
const send = (message: FromFiles): void => {
  port.postMessage(message);
};

/** Those of the room as it was last read without a fault. */
let used: readonly string[] = start.files;
let looked: readonly string[] = start.looked;
/** Who asked for the room; null: nobody, but its files have changed. */
let wanted: (number | null)[] = [];
let reading = false;

async function inParts<Value>(work: () => Promise<Value>): Promise<Read<Value>> {
  try {
    return { value: await work() };
  } catch (error) {
    if (error instanceof FileFault) return { problems: error.problems };
    return { failed: (error as Error).message };
  }
}

const missing = (): string[] => {
  const gone = new Set(watching.missing());
  return used.filter((path) => gone.has(path));
};

/** Reads the room, and again where somebody may just be writing it. */
async function readRoom(): Promise<void> {
  const { readWholeRoom } = await import('./room.js');
  const began = performance.now();
  while (missing().length > 0 && performance.now() - began < GONE_MS) await pause(AGAIN_MS);
  for (let attempt = 1; ; attempt++) {
    const ids = [...wanted];
    const seen = new Set<string>();
    const room = await inParts(() => readWholeRoom(name, folder, seen));
    const isRight = 'value' in room;
    if (isRight) {
      used = room.value.files;
      looked = room.value.looked;
    }
    // A file that is named only now is watched too, so that it is enough to put it there, or right.
    const others = 'problems' in room ? room.problems.map(({ file }) => resolve(file)) : [];
    if ((await watching.watch([...looked, ...seen, ...others])) && attempt < TRIES) continue;
    if (!isRight && attempt < TRIES) {
      await pause(AGAIN_MS);
      continue;
    }
    wanted = wanted.filter((id) => !ids.includes(id));
    const gone = isRight ? [] : missing();
    for (const id of ids) send({ type: 'room', id, room, gone });
    return;
  }
}

/** One at a time; what is wanted meanwhile is read after it. */
async function readAll(): Promise<void> {
  if (reading) return;
  reading = true;
  while (wanted.length > 0) {
    send({ type: 'reading' });
    await readRoom();
  }
  reading = false;
}

const watching = watchFiles({
  paths: start.looked,
  changed() {
    if (!wanted.includes(null)) wanted.push(null);
    void readAll();
  },
});

port.on('message', (message: ToFiles) => {
  if (message.read === 'room') {
    wanted.push(message.id);
    void readAll();
    return;
  }
  void inParts(async () => (await import('./files.js')).readRules(message.name, folder)).then(
    (rules) => {
      send({ type: 'rules', id: message.id, rules });
    },
  );
});

await watching.ready;
send({ type: 'ready' });
// Here and now, rather than with the first file that is saved.
await import('./room.js');
