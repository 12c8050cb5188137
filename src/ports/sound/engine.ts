import type { Loudness } from '../../engine/builtin/output.js';
import { CLASS_CEILING, type Ceiling } from '../../instrument/ceiling.js';
import type { SeatSound, VoiceEvent } from '../../room/voice.js';
import type { Engine, Tell } from '../contracts.js';
import { monotonic, type WorkerOptions } from './messages.js';
import { startThread, type SoundThread } from './thread.js';

export interface BuiltinOptions {
  /** By slot; null where nobody plays. */
  readonly seats: readonly (SeatSound | null)[];
  /** Integer; the same seed gives the same sound. */
  readonly seed: number;
  /** Path of a SoundFont (SF2, SF3 or DLS) to play; null: the own plucked strings. */
  readonly soundfont: string | null;
  /** What the output keeps to; left out: what is sensible for a class. */
  readonly ceiling?: Ceiling;
  readonly tell: Tell;
  /** Frames a second; left out: 48000. */
  readonly sampleRate?: number;
}

const SAMPLE_RATE = 48_000;
const RESTARTS = 1;
/** The worker closes within about half a second; after this long it is ended. */
const CLOSE_WITHIN_MS = 3_000;
const WHERE = 'built-in engine';

/**
 * The built-in engine on the machine's default sound card. Without a card it says so once, is silent, and
 * is heard as soon as there is one. Its thread is started again once if it fails.
 *
 * @param start how to start the thread; for tests
 */
export function builtinEngine(
  options: BuiltinOptions,
  start: (options: WorkerOptions) => SoundThread = startThread,
): Engine {
  const { seed, soundfont, tell } = options;
  /** As they are now, for a thread that is started again. */
  const seats = [...options.seats];
  const { ceiling = CLASS_CEILING, sampleRate = SAMPLE_RATE } = options;
  let restarts = RESTARTS;
  let worker: SoundThread | undefined;
  let loudness: Loudness | null = null;
  let closed: Promise<void> | undefined;
  let gone: () => void = () => undefined;

  function launch(): void {
    const own = start({ seats: [...seats], seed, soundfont, ceiling, sampleRate });
    let error: unknown;
    worker = own;
    own.on('message', (message) => {
      if (message.type === 'notice') tell(message.notice);
      else loudness = message.loudness;
    });
    own.on('error', (thrown) => {
      error = thrown;
    });
    own.on('exit', () => {
      worker = undefined;
      if (closed) gone();
      else failed(error);
    });
    // It never keeps the program from ending. (Listening to its messages had it do so again.)
    own.unref();
  }

  function failed(error: unknown): void {
    const why = error instanceof Error ? error.message : 'its thread ended';
    const again = restarts > 0;
    tell({
      level: again ? 'warn' : 'error',
      what: again
        ? `The built-in engine failed and was started again (${why})`
        : `The built-in engine failed again and stays silent (${why})`,
      where: WHERE,
      next: again
        ? 'Play on; what sounded has ended'
        : 'Start the program again, or play through another engine (a MIDI port or an OSC receiver)',
    });
    restarts--;
    if (again) launch();
  }

  async function close(): Promise<void> {
    const own = worker;
    if (!own) return;
    const left = new Promise<void>((resolve) => {
      gone = resolve;
    });
    own.postMessage({ type: 'close' });
    const timer = setTimeout(() => void own.terminate(), CLOSE_WITHIN_MS);
    await left;
    clearTimeout(timer);
  }

  launch();
  return {
    name: soundfont === null ? 'built-in' : `built-in (${soundfont})`,
    send(event) {
      follow(seats, event);
      worker?.postMessage({ type: 'event', event, at: monotonic() });
    },
    loudness: () => loudness,
    close() {
      closed ??= close();
      return closed;
    },
  };
}

function follow(seats: (SeatSound | null)[], event: VoiceEvent): void {
  if (event.type === 'joined') {
    while (seats.length < event.seat) seats.push(null);
    seats[event.seat] = event.sound;
  } else if (event.type === 'left') seats[event.seat] = null;
  else if (event.type === 'mix') {
    const { seat, level, pan, sound } = event;
    const now = seats[seat];
    if (now) seats[seat] = { ...now, level, pan, sound };
  }
}
