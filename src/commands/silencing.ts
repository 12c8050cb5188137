import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import type { KeyInput } from './wire-keys.js';

/** What asks for silence, beside Ctrl-C, which ends the program too. */
export interface Silencing {
  /** In words for whoever plays, as "the space bar or kill -USR1 123"; "" where there is none. */
  readonly words: string;
  /** Gives the terminal back as it was. */
  close(): void;
}

export interface SilencingParts {
  readonly input: KeyInput;
  /** Whether this process is what the terminal's keys go to. */
  readonly foreground: () => boolean;
  readonly process: Pick<NodeJS.Process, 'on' | 'off' | 'kill' | 'pid' | 'platform'>;
}

const SPACE = ' ';
/** Ctrl-C: a terminal that gives single keys makes no signal of it. */
const INTERRUPT = '\x03';

/**
 * Has the space bar silence the room on a terminal, and SIGUSR1 wherever there are such signals. The
 * room plays on. Other keys do nothing: Ctrl-Z would leave notes sounding that nobody ends.
 */
export function silencing(
  silence: () => void,
  { input, foreground, process: own }: SilencingParts = {
    ...{ input: process.stdin, foreground: inForeground, process },
  },
): Silencing {
  const words: string[] = [];
  const closing: (() => void)[] = [];

  // A process in the background that asks for single keys is stopped by the system.
  if (input.isTTY === true && input.setRawMode && foreground()) {
    const hear = (chunk: Uint8Array | string): void => {
      const text = typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('latin1');
      if (text.includes(INTERRUPT)) own.kill(own.pid, 'SIGINT');
      else if (text.includes(SPACE)) silence();
    };
    input.setRawMode(true);
    input.on('data', hear);
    input.resume();
    words.push('the space bar');
    closing.push(() => {
      input.off('data', hear);
      input.setRawMode?.(false);
      input.pause();
    });
  }
  if (own.platform !== 'win32') {
    own.on('SIGUSR1', silence);
    words.push(`"kill -USR1 ${String(own.pid)}"`);
    closing.push(() => own.off('SIGUSR1', silence));
  }
  return {
    words: words.join(' or '),
    close: () => {
      for (const end of closing.splice(0)) end();
    },
  };
}

/** Whether our process group is the terminal's foreground one; false where that cannot be told. */
function inForeground(): boolean {
  if (process.platform === 'win32') return true;
  try {
    if (process.platform === 'linux') {
      // After the name in brackets: state, parent, group, session, terminal, its foreground group.
      const stat = readFileSync('/proc/self/stat', 'latin1');
      const [, , group, , , front] = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
      return group === front;
    }
    const stat = execFileSync('ps', ['-o', 'stat=', '-p', String(process.pid)], {
      encoding: 'utf8',
    });
    return stat.includes('+');
  } catch {
    return false;
  }
}
