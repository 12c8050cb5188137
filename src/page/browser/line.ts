import { signal, type ReadonlySignal } from '@preact/signals';
import { CLOSING } from '../link/closing.js';
import type { Later } from './parts/wish.js';

export type Link = 'connecting' | 'open' | 'lost' | 'refused';

/** What a line needs of a browser's WebSocket. */
export type Socket = Pick<
  WebSocket,
  'binaryType' | 'readyState' | 'bufferedAmount' | 'send' | 'close' | 'addEventListener'
>;

interface LineOptions {
  readonly open: () => Socket;
  readonly later: Later;
  /** 0 to 1, so that thirty pages do not all come back in the same instant. */
  readonly chance: () => number;
  /** Text or bytes came. */
  readonly heard: (data: string | ArrayBuffer) => void;
  /** It broke off; what was asked is not going to be answered. */
  readonly broke: () => void;
  /** Asks for anything that is answered, to see whether the service is still there. */
  readonly knock: () => void;
}

/** A way to the service that fixes itself. */
export interface Line {
  readonly link: ReadonlySignal<Link>;
  /** Whether it could be sent. */
  send(text: string): boolean;
  /** The service said its hello. */
  greeted(): void;
  /** Tries again at once where it waits, as when the device was woken. */
  now(): void;
}

/** The first wait before it is tried again, in ms; it doubles up to the longest. */
const FIRST = 250;
const LONGEST = 5_000;
/** Knocks when nothing was heard for so long; gives it up when that is not answered either. */
const QUIET = 5_000;
/** More than this, in bytes, that was not sent yet means that nothing gets through. */
const STUCK = 1_000_000;

export function openLine({ open, later, chance, heard, broke, knock }: LineOptions): Line {
  const link = signal<Link>('connecting');
  let socket: Socket | null = null;
  let wait = FIRST;
  let calledOff = (): void => undefined;
  let stopWatch = (): void => undefined;

  const dial = (): void => {
    calledOff();
    if (link.peek() !== 'lost') link.value = 'connecting';
    const own = open();
    socket = own;
    own.binaryType = 'arraybuffer';
    own.addEventListener('message', ({ data }: MessageEvent<string | ArrayBuffer>) => {
      if (socket !== own) return;
      watch(own, false);
      heard(data);
    });
    own.addEventListener('close', ({ code }: CloseEvent) => {
      if (socket === own) over(code);
    });
    watch(own, true);
  };

  /** `knocked`: nothing is heard from here on means that it is over. */
  const watch = (own: Socket, knocked: boolean): void => {
    stopWatch();
    stopWatch = later(QUIET, () => {
      if (socket !== own) return;
      if (knocked) {
        own.close();
        over(0);
        return;
      }
      knock();
      watch(own, true);
    });
  };

  const over = (code: number): void => {
    socket = null;
    stopWatch();
    calledOff();
    link.value = code === CLOSING.key ? 'refused' : 'lost';
    broke();
    if (code === CLOSING.key) return;
    calledOff = later(wait * (0.75 + chance() / 2), dial);
    wait = Math.min(wait * 2, LONGEST);
  };

  dial();
  return {
    link,
    send(text) {
      if (!socket || socket.readyState !== 1 || socket.bufferedAmount > STUCK) return false;
      socket.send(text);
      return true;
    },
    greeted() {
      wait = FIRST;
      link.value = 'open';
    },
    now() {
      if (socket === null && link.peek() === 'lost') dial();
    },
  };
}
