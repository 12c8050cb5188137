import type { IncomingMessage } from 'node:http';
import type { FetchFault } from '../link/fetches.js';
import { cookieOf, keyInCookie, type Keys, type Role } from './keys.js';
import { isLoopback, isOwnOrigin } from './origin.js';

/*
 * Who gets in. By default the page is served to this computer only and without a key: whoever can run
 * programs on it, as another user too, can look and do what the page can do. That is to play, to turn
 * up and down, and to write rules, builds and takes into the folder of the person who plays, under
 * names of the program's choosing; nothing else can be read or written. Where other people use the same
 * computer at the same time, that may matter.
 *
 * Open to the network, a key is asked for, also of this computer.
 */

export const NO_KEY: FetchFault = {
  what: 'This page is opened with a link that has a key in it',
  next: 'Open the link that the program printed as it began; it has another key each time',
};

/** Decides by what a request says of itself. */
export interface Gate {
  /** Why a request is not answered at all; null: it is. */
  refused(request: IncomingMessage): FetchFault | null;
  /** Why no connection is made for a page of somebody else; null: it is our own. */
  foreign(request: IncomingMessage): FetchFault | null;
  /** As whom it comes, by its cookie; null: without a good key. */
  roleOf(request: IncomingMessage): Role | null;
  /** The cookie to keep for a link's key; null: the key is nobody's, undefined: none is asked for. */
  cookieFor(key: string): string | null | undefined;
}

/** @param keys null: for this computer only */
export function makeGate(keys: Keys | null, port: () => number): Gate {
  return {
    refused: ({ headers: { host } }) => {
      if (keys !== null || isLoopback(host)) return null;
      return {
        what: 'This page is for the computer that it runs on, and was asked for by another name',
        next: `Open http://127.0.0.1:${String(port())}/ on that computer, or start with --network`,
      };
    },
    foreign: ({ headers: { origin, host } }) => {
      if (isOwnOrigin(origin, host)) return null;
      return {
        what: 'A page from elsewhere asked for what is only for the page served here',
        next: 'Open the page by its own link',
      };
    },
    roleOf: ({ headers: { cookie } }) =>
      keys === null ? 'all' : keys.roleOf(keyInCookie(cookie, port())),
    cookieFor: (key) => {
      if (keys === null) return undefined;
      return keys.roleOf(key) === null ? null : cookieOf(key, port());
    },
  };
}
