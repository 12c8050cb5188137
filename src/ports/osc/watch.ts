import { createSocket } from 'node:dgram';
import { encodeOsc } from '../../wire/osc-codec.js';
import { IMMEDIATELY } from '../../wire/osc-time.js';
import type { Tell } from '../contracts.js';
import type { Timers } from '../live-clock.js';

export interface WatchOptions {
  /** Numeric. */
  readonly address: string;
  readonly type: 'udp4' | 'udp6';
  readonly port: number;
  readonly where: string;
  readonly tell: Tell;
  readonly timers: Timers;
  /** Somebody listens who did not at the look before. */
  readonly onBack: () => void;
}

/** An answer on the same computer comes in well under a millisecond, in a network in a few. */
const ANSWER_MS = 500;
const PAUSE_MS = 2_000;

/** What "port unreachable" is called; the second on Windows. */
const REFUSED = new Set(['ECONNREFUSED', 'ECONNRESET']);

/** A bundle without messages: OSC 1.0 allows it, and it asks nothing of a receiver. */
const NOTHING_TO_DO = encodeOsc({ at: IMMEDIATELY, packets: [] });

/**
 * Finds out whether anybody listens at a UDP port, and tells when that changes: an empty bundle
 * every few seconds over a connected socket, to which the system of a receiver that is not running
 * answers "port unreachable". No answer means somebody listens, or a firewall swallowed it.
 *
 * @returns what ends it
 */
export function watchReceiver(options: WatchOptions): () => void {
  const { address, type, port, where, tell, timers, onBack } = options;
  let missing = false;
  let refused = false;
  let connected = false;
  let closed = false;
  let cancel: () => void = () => undefined;
  const socket = createSocket(type);

  function join(): void {
    socket.connect(port, address);
  }

  function ask(): void {
    refused = false;
    socket.send(NOTHING_TO_DO, () => undefined);
    cancel = timers.after(ANSWER_MS, judge);
  }

  function judge(): void {
    if (refused !== missing) {
      missing = refused;
      const at = `at ${address}, port ${String(port)}`;
      const next = 'Start the receiver; notes reach it as soon as it listens';
      if (missing) tell({ level: 'warn', what: `Nothing listens ${at}`, where, next });
      else {
        tell({ level: 'info', what: `The receiver ${at} listens now`, where });
        onBack();
      }
    }
    cancel = timers.after(PAUSE_MS, ask);
  }

  socket.on('error', ({ code }: NodeJS.ErrnoException) => {
    if (code !== undefined && REFUSED.has(code)) refused = true;
    else if (!connected && !closed) cancel = timers.after(PAUSE_MS, join);
  });
  socket.on('connect', () => {
    connected = true;
    if (!closed) ask();
  });
  join();
  socket.unref();
  return () => {
    closed = true;
    cancel();
    socket.close();
  };
}
