import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';

/** Who a page is: `all` may ask for everything, `guest` only looks. */
export type Role = 'all' | 'guest';

/** The keys of a room that is open to the network; made again each time it is. */
export interface Keys {
  /** For the links that are handed out. */
  readonly keys: Readonly<Record<Role, string>>;
  /** Whose key it is; null: nobody's. It takes as long for any text. */
  roleOf(key: string): Role | null;
}

/** 256 bits, as text that needs no escaping in a link. */
const newKey = (): string => randomBytes(32).toString('base64url');

export function makeKeys(): Keys {
  const keys = { all: newKey(), guest: newKey() };
  const all = digest(keys.all);
  const guest = digest(keys.guest);
  return {
    keys,
    roleOf(key) {
      const asked = digest(key);
      const isAll = timingSafeEqual(asked, all);
      const isGuest = timingSafeEqual(asked, guest);
      return isAll ? 'all' : isGuest ? 'guest' : null;
    },
  };
}

/** Makes texts of any length comparable in constant time. */
function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}

/** Cookies know no ports, so that each service on a machine has a name of its own. */
const cookieName = (port: number): string => `pluckwork-${String(port)}`;

/** What has a browser keep the key; no script can read it, and no other site has it sent. */
export function cookieOf(key: string, port: number): string {
  return `${cookieName(port)}=${key}; Path=/; HttpOnly; SameSite=Strict`;
}

/** The key in a `Cookie` header; '' where there is none. */
export function keyInCookie(header: string | undefined, port: number): string {
  const start = `${cookieName(port)}=`;
  const own = (header ?? '').split(/; */).find((one) => one.startsWith(start));
  return own?.slice(start.length) ?? '';
}
