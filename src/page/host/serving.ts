import type { Tell } from '../../ports/contracts.js';
import type { Timers } from '../../ports/live-clock.js';
import type { FromPageThread, PageThreadData, ToPageThread } from './messages.js';
import { PULSE_MS } from './pulse.js';
import type { PageThread } from './thread.js';

export interface ServingOptions {
  readonly start: (data: PageThreadData) => PageThread;
  /** What a thread is started with, as everything is by then. */
  readonly data: () => PageThreadData;
  readonly tell: Tell;
  readonly timers: Timers;
  /** All that it says but that it goes on. */
  readonly onMessage: (message: FromPageThread) => void;
  /** It is gone: whatever it held must be let go. */
  readonly onGone: () => void;
  /** It goes on again after it had fallen silent, and has missed what it was sent meanwhile. */
  readonly onBack: () => void;
}

/** The thread that serves pages, kept going. */
export interface Serving {
  /** False while it is silent: what it is sent then is lost, so that it cannot pile up. */
  readonly keepsUp: boolean;
  post(message: ToPageThread): void;
  /** Ends it, whatever it does. */
  fail(why: string): void;
  close(): Promise<void>;
}

/** So many pulses may be missing before nothing is sent any more, and before it counts as stuck. */
export const LATE = 3;
export const STUCK = 30;
/** The thread closes its pages in this time, or is ended. */
const CLOSE_WITHIN_MS = 2_000;
const RESTARTS = 1;

/** Starts the thread, and once more where it fails: the room plays on in any case. */
export function keepServing(options: ServingOptions): Serving {
  const { tell, timers } = options;
  let thread: PageThread | null = null;
  let restarts = RESTARTS;
  let silent = 0;
  let why = '';
  let cancel: () => void = () => undefined;
  let closed: Promise<void> | null = null;
  let gone: () => void = () => undefined;

  function launch(): void {
    silent = 0;
    why = '';
    let own: PageThread;
    try {
      own = options.start(options.data());
    } catch (error) {
      failed((error as Error).message);
      return;
    }
    thread = own;
    own.on('message', (message) => {
      if (own !== thread) return;
      alive();
      if (message.type !== 'alive') options.onMessage(message);
    });
    own.on('error', (error) => {
      why = error instanceof Error ? error.message : String(error);
    });
    own.on('exit', () => {
      if (own === thread) left();
    });
    // It never keeps the program from ending. (Listening to its messages had it do so again.)
    own.unref();
    cancel = timers.after(PULSE_MS, look);
  }

  function alive(): void {
    const missed = silent >= LATE;
    silent = 0;
    if (missed) options.onBack();
  }

  /** Pulses are counted by our own, so that a computer that slept, or we ourselves, are no fault of its. */
  function look(): void {
    silent += 1;
    if (silent >= STUCK) fail('it no longer answers');
    else cancel = timers.after(PULSE_MS, look);
  }

  function fail(reason: string): void {
    const own = thread;
    if (!own || closed) return;
    why = reason;
    left();
    void own.terminate();
  }

  function left(): void {
    thread = null;
    cancel();
    options.onGone();
    if (closed) gone();
    else failed(why || 'its thread ended');
  }

  function failed(reason: string): void {
    const again = restarts > 0;
    restarts -= 1;
    tell({
      level: again ? 'warn' : 'error',
      what: again
        ? `The page failed and is started again (${reason})`
        : `The page failed again and stays closed (${reason})`,
      where: 'page',
      next: again
        ? 'Playing goes on, but what the page was recording or calibrating has stopped: start it over. If a page does not come back by itself, open its link again'
        : 'Playing goes on, but what the page was recording or calibrating has ended. Stop the room and start it to get the page back',
    });
    if (again) launch();
  }

  async function close(): Promise<void> {
    const own = thread;
    if (!own) return;
    const over = new Promise<void>((resolve) => (gone = resolve));
    // Until it is closed the program must not end.
    own.ref();
    own.postMessage({ type: 'close' });
    const late = timers.after(CLOSE_WITHIN_MS, () => {
      void own.terminate();
      gone();
    });
    await over;
    late();
  }

  launch();
  return {
    get keepsUp() {
      return thread !== null && silent < LATE;
    },
    post(message) {
      if (silent < LATE) thread?.postMessage(message);
    },
    fail,
    close: () => (closed ??= close()),
  };
}
