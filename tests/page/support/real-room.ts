import type { Browser, Page } from 'playwright-core';
import { endPrograms, start, workFolder, type Program } from '../../commands/program.js';
import { launch } from './browser.js';

/** A room that really plays, as its own process, and a browser beside it. */
export interface RealRoom {
  readonly program: Program;
  /** Where the page is served. */
  readonly url: string;
  /** A person's files. */
  readonly folder: ReturnType<typeof workFolder>;
  readonly browser: Browser;
  /** A new page of the room, at a view such as `#/seat/bass`. */
  open(view?: string): Promise<Page>;
  /** What went wrong inside the pages: anything thrown, refused or written to the console as an error. */
  readonly trouble: string[];
  close(): Promise<void>;
}

interface Options {
  readonly files: Readonly<Record<string, string>>;
  readonly room: string;
  readonly args?: readonly string[];
}

/** Starts a room and a browser; the page is served on any free port. */
export async function realRoom({ files, room, args = [] }: Options): Promise<RealRoom> {
  const folder = workFolder();
  for (const [name, text] of Object.entries(files)) folder.write(name, text);
  const program = start(['play', room, '--page', '0', ...args], folder.path);
  const served = await program.saw(/Page \(http:[^)]*\)/);
  const url = /http:[^)]*/.exec(served)![0];
  const browser = await launch();
  const trouble: string[] = [];
  return {
    program,
    url,
    folder,
    browser,
    trouble,
    async open(view = '') {
      const page = await browser.newPage({ viewport: { width: 1280, height: 900 }, locale: 'en' });
      page.on('pageerror', ({ message }) => trouble.push(message));
      page.on('console', (message) => {
        if (message.type() === 'error') trouble.push(message.text());
      });
      await page.goto(url + view);
      return page;
    },
    async close() {
      await browser.close();
      program.signal('SIGINT');
      await program.ended;
      endPrograms();
      folder.remove();
    },
  };
}

/** The notes that the program printed for a seat: `E1 20`, pitch and velocity. */
export function notesOf({ out }: Program, seat: string): string[] {
  return [...out.matchAll(/^ *[\d.]+ s {2}(\S+) +(\S+) .*velocity (\d+)/gm)].flatMap(
    ([, who, pitch, velocity]) => (who === seat ? [`${pitch!} ${velocity!}`] : []),
  );
}
