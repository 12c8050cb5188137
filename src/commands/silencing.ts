import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import type { KeyInput } from './wire/keys.js';

/** What asks for silence, beside Ctrl-C, which ends the program too. */
export interface Silencing {
  /** In words for whoever plays, as "the space bar or kill -USR1 123"; "" where there is none. */
  readonly words: string;
  /** Gives the terminal back as it was, while the program is suspended. */
  suspend(): void;
  /** Takes the terminal's keys again, where they go to this program. */
  resume(): void;
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
/** Ctrl-Z. */
const SUSPEND = '\x1a';

/**
 * Has the space bar silence the room on a terminal, and SIGUSR1 wherever there are such signals. The
 * room plays on. Ctrl-C and Ctrl-Z do what they do everywhere; other keys do nothing.
 */
export function silencing(
  silence: () => void,
  { input, foreground, process: own }: SilencingParts = {
    input: process.stdin,
    foreground: inForeground,
    process,
  },
): Silencing {
  const words: string[] = [];
  const hear = (chunk: Uint8Array | string): void => {
    const text = typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('latin1');
    if (text.includes(INTERRUPT)) own.kill(own.pid, 'SIGINT');
    // To all of the terminal's group, such as npm, or the shell would not see that anything stopped.
    else if (text.includes(SUSPEND)) own.kill(0, 'SIGTSTP');
    else if (text.includes(SPACE)) silence();
  };
  let taken = false;

  // A process in the background that asks for single keys is stopped by the system.
  function take(): void {
    if (taken || input.isTTY !== true || !input.setRawMode || !foreground()) return;
    taken = true;
    input.setRawMode(true);
    input.on('data', hear);
    input.resume();
  }

  function giveBack(): void {
    if (!taken) return;
    taken = false;
    input.off('data', hear);
    input.setRawMode?.(false);
    input.pause();
  }

  take();
  if (taken) words.push('the space bar');
  if (own.platform !== 'win32') {
    own.on('SIGUSR1', silence);
    words.push(`"kill -USR1 ${String(own.pid)}"`);
  }
  return {
    words: words.join(' or '),
    suspend: giveBack,
    resume: take,
    close: () => {
      giveBack();
      if (own.platform !== 'win32') own.off('SIGUSR1', silence);
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
