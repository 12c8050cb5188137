/** Names by which only this computer itself can mean this computer. */
const LOOPBACK = new Set(['localhost', '127.0.0.1', '[::1]']);

/**
 * Whether a `Host` header names this computer's loopback, with any port (one may be forwarded). A page
 * of somebody else whose name was made to point here (DNS rebinding) comes with its own name.
 */
export function isLoopback(host: string | undefined): boolean {
  const match = /^(\[[^\]]*\]|[^:]*)(?::\d{1,5})?$/.exec(host ?? '');
  return match !== null && LOOPBACK.has(match[1]!.toLowerCase());
}

/** Whether an `Origin` header is that of the page that `host` serves: no other page may connect. */
export function isOwnOrigin(origin: string | undefined, host: string | undefined): boolean {
  if (origin === undefined || host === undefined) return false;
  return origin.toLowerCase() === `http://${withoutUsualPort(host.toLowerCase())}`;
}

/** Browsers leave port 80 out. */
function withoutUsualPort(host: string): string {
  return host.replace(/:80$/, '');
}
