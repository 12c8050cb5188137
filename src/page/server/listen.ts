import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { networkInterfaces } from 'node:os';
import type { PageLink } from '../host/messages.js';
import type { Keys, Role } from './keys.js';

/** Why a wanted port cannot be had, where any other will do. */
const TAKEN = new Set(['EADDRINUSE', 'EACCES']);

/**
 * Listens on the wanted port, or on any free one where that is taken.
 *
 * @returns the port
 * @throws the system's error where there is none at all
 */
export async function listen(server: Server, wanted: number, network: boolean): Promise<number> {
  const host = network ? '0.0.0.0' : '127.0.0.1';
  try {
    await listenOn(server, wanted, host);
  } catch (error) {
    if (wanted === 0 || !TAKEN.has((error as NodeJS.ErrnoException).code ?? '')) throw error;
    await listenOn(server, 0, host);
  }
  return (server.address() as AddressInfo).port;
}

function listenOn(server: Server, port: number, host: string): Promise<void> {
  return new Promise((listening, failed) => {
    server.once('error', failed);
    server.listen({ port, host, exclusive: true }, () => {
      server.off('error', failed);
      listening();
    });
  });
}

/** The links that open the page: this computer's own first; open to the network, one an address and key. */
export function linksTo(port: number, keys: Keys | null): PageLink[] {
  const at = (host: string): string => `http://${host}:${String(port)}/`;
  if (!keys) return [{ url: at('127.0.0.1'), guest: false }];
  const hosts = ['127.0.0.1', ...addresses()];
  const roles: readonly Role[] = ['all', 'guest'];
  return roles.flatMap((role) =>
    hosts.map((host) => ({ url: `${at(host)}?key=${keys.keys[role]}`, guest: role === 'guest' })),
  );
}

function addresses(): string[] {
  return Object.values(networkInterfaces()).flatMap((all) =>
    (all ?? []).filter((one) => !one.internal && one.family === 'IPv4').map((one) => one.address),
  );
}
