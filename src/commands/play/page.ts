import { spawn } from 'node:child_process';
import type { PageLink } from '../../page/host/messages.js';
import type { Tell } from '../../ports/contracts.js';
import { textOf, UsageFault, type Call, type Options } from '../cli.js';

/** How the page is to be served. */
export interface PageWish {
  /** 0: any free one. */
  readonly port: number;
  readonly network: boolean;
  readonly open: boolean;
}

export const PAGE_PORT = 8480;

export const PAGE_OPTIONS: Options = {
  page: {
    takes: 'PORT|off',
    about: `where this computer's browser finds the page of the room; a free port is taken where it is in
      use, or with 0; "off" serves none [${String(PAGE_PORT)}]`,
  },
  network: {
    about: `let other devices in the network open the page too: the links are told, one for whoever may
      change the room and one for guests, who only see it`,
  },
  open: { about: 'open the page in the browser' },
};

/**
 * What the options ask for; null: no page.
 *
 * @throws UsageFault
 */
export function pageWish(call: Call): PageWish | null {
  const text = textOf(call, 'page') ?? String(PAGE_PORT);
  const [network, open] = [call.values.network === true, call.values.open === true];
  if (text === 'off') {
    if (!network && !open) return null;
    throw new UsageFault(
      `--${network ? 'network' : 'open'} has no page to do it with: leave --page off out`,
    );
  }
  const port = /^\d{1,5}$/.test(text) ? Number(text) : NaN;
  if (port <= 65_535) return { port, network, open };
  throw new UsageFault(`--page takes a port from 0 to 65535 or "off", not "${text}"`);
}

/** Tells where the page is, and who may do what with each link; the first time it is opened if wanted. */
export function tellLinks(
  { port, network, open }: PageWish,
  tell: Tell,
  show: typeof openBrowser = openBrowser,
): (links: readonly PageLink[]) => void {
  let told = '';
  let opened = !open;
  return (links) => {
    const now = links.map(({ url }) => url).join('\n');
    const real = Number(new URL(links[0]?.url ?? 'http://localhost').port);
    if (now !== told && port !== 0 && links.length > 0 && real !== port) {
      tell({
        level: 'warn',
        what: `Port ${String(port)} is in use by another program, so the page is at port ${String(real)}`,
        next: 'Use the link below, or end the other program; --page PORT chooses another port',
      });
    }
    if (now !== told) {
      for (const { url, guest } of links) {
        // Guests have devices of their own.
        if (!guest || !isHere(url)) tell(linkNotice(url, guest, network));
      }
    }
    told = now;
    const own = links.find(({ guest }) => !guest);
    if (opened || !own) return;
    opened = true;
    show(own.url, () => {
      tell({
        level: 'warn',
        what: 'No browser could be opened',
        next: `Open ${own.url} yourself`,
      });
    });
  };
}

/** Whether a link leads nowhere but to this computer. */
function isHere(url: string): boolean {
  return ['127.0.0.1', '[::1]', 'localhost'].includes(new URL(url).hostname);
}

function linkNotice(url: string, guest: boolean, network: boolean): Parameters<Tell>[0] {
  if (guest) {
    const next = 'Whoever has this link sees and hears the room, and changes nothing';
    return { level: 'info', what: 'Page for guests', where: url, next };
  }
  const next = network
    ? 'Whoever has this link may change everything in the room: give it only to those who shall'
    : 'Open it in a browser on this computer';
  return { level: 'info', what: 'Page', where: url, next };
}

const OPENERS: Readonly<Partial<Record<NodeJS.Platform, readonly string[]>>> = {
  darwin: ['open'],
  win32: ['rundll32', 'url.dll,FileProtocolHandler'],
};

/** Opens a link by the system's own command, and says where that did not do it. */
export function openBrowser(url: string, failed: () => void): void {
  const [command = '', ...args] = OPENERS[process.platform] ?? ['xdg-open'];
  const child = spawn(command, [...args, url], { stdio: 'ignore', detached: true });
  let told = false;
  const once = (): void => {
    if (!told) failed();
    told = true;
  };
  child.on('error', once);
  child.on('exit', (code) => {
    if (code !== 0) once();
  });
  child.unref();
}
