import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readTakeFile } from '../../src/ports/takes/read.js';
import { rerunBatches } from '../../src/takes/rerun.js';
import { bassPlan } from '../support/bass.js';
import { busyTake } from '../support/busy-take.js';

/** How long a take lasted, how long its rerun took, and how long merely parsing its JSON did. */
export interface RerunSpeed {
  readonly seconds: number;
  readonly bare: number;
  readonly first: number;
  readonly best: number;
  readonly notes: number;
}

/** Runs a three-minute take (20 pads, 250 scans a second) again, from the file on. */
export async function rerunSpeed(): Promise<RerunSpeed> {
  const folder = mkdtempSync(join(tmpdir(), 'pluckwork-bench-'));
  try {
    const path = join(folder, 'busy.take.jsonl');
    const text = busyTake(180);
    writeFileSync(path, text);
    let notes = 0;
    const times: number[] = [];
    for (let i = 0; i < 5; i++) {
      notes = 0;
      const began = performance.now();
      const { events } = await readTakeFile(path);
      const none = (): void => undefined;
      for await (const batch of rerunBatches(events(none), bassPlan(), none)) {
        for (const event of batch) if (event.type === 'on') notes += 1;
      }
      times.push(performance.now() - began);
    }
    const began = performance.now();
    for (const line of text.split('\n')) if (line !== '') JSON.parse(line);
    const bare = performance.now() - began;
    return { seconds: 180, bare, first: times[0]!, best: Math.min(...times), notes };
  } finally {
    rmSync(folder, { recursive: true });
  }
}
