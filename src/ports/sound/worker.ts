import { setTimeout as wait } from 'node:timers/promises';
import { parentPort, workerData } from 'node:worker_threads';
import { ALL_KINDS } from '../../engine/builtin/ensemble.js';
import { createRenderer } from '../../engine/builtin/renderer.js';
import { warmUp } from '../../engine/builtin/warm-up.js';
import type { Notice } from '../contracts.js';
import { openCard } from './card.js';
import { keepPlaying } from './keep-playing.js';
import { monotonic, type FromWorker, type ToWorker, type WorkerData } from './messages.js';
import { Player } from './player.js';
import { readSoundFont } from './soundfont-file.js';

/*
 * The thread in which the built-in engine renders and plays. It has its own heap, so that collecting the
 * rest of the program's garbage does not stop the sound.
 */

/** How long a block is at first, in ms; a SoundFont needs up to 10 ms to render one (measured). */
const BLOCK_MS = process.platform === 'win32' ? 20 : 5;
const SOUNDFONT_BLOCK_MS = Math.max(10, BLOCK_MS);
/** How often it tells how loud it is, in ms. */
const TELL_EVERY_MS = 200;

const port = parentPort!;
// Whatever kind of instrument may join, it is ready.
const options = { ...(workerData as WorkerData), kinds: ALL_KINDS };
const stop = new AbortController();
let failure: Error | undefined;

function tell(notice: Notice): void {
  port.postMessage({ type: 'notice', notice } satisfies FromWorker);
}

const { sampleRate, soundfont } = options;
const synth = soundfont === null ? undefined : await readSoundFont(soundfont, options, tell);
if (!synth) warmUp(options);
const player = new Player(createRenderer(options, synth), sampleRate);

port.on('message', (message: ToWorker) => {
  if (message.type === 'close') stop.abort();
  else player.handle(message.event, message.at);
});

let told = 0;
/** Tells how loud it is, once more was heard. */
function tellLoudness(): void {
  if (player.frame === told) return;
  told = player.frame;
  port.postMessage({ type: 'loudness', loudness: player.loudness() } satisfies FromWorker);
}

function fill(block: Int16Array): void {
  try {
    player.fill(block, monotonic());
  } catch (error) {
    block.fill(0);
    failure ??= error instanceof Error ? error : new Error(String(error));
    stop.abort();
  }
}

const telling = setInterval(tellLoudness, TELL_EVERY_MS);
await keepPlaying(
  {
    player,
    sampleRate,
    tell,
    open: (blockMs) => openCard(sampleRate, blockMs, fill).catch(() => undefined),
    pause: (ms) => wait(ms, undefined, { signal: stop.signal }).catch(() => undefined),
    wait: (ms) => wait(ms),
    over: () => stop.signal.aborted,
  },
  synth ? SOUNDFONT_BLOCK_MS : BLOCK_MS,
);
clearInterval(telling);
tellLoudness();
Atomics.store(options.left, 0, 1);
Atomics.notify(options.left, 0);
port.close();
// Only now, with the card let go of, so that the engine can be started again.
if (failure) throw failure;
