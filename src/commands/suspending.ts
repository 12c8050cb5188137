import type { Service } from '../ports/service.js';
import type { Silencing } from './silencing.js';

/** How long engines get to end their sound before the program stands still: a release, and a sound card's buffer. */
const FADE_MS = 150;
/** What the system kept of the boards' messages while the program stood still is read and dropped meanwhile. */
const STALE_MS = 250;

/**
 * Has the room silent while the program is suspended (Ctrl-Z, or the signal TSTP): what stands still ends no
 * note. Once it is continued the room plays on, and what was sent meanwhile is not played.
 *
 * @returns what takes it back
 */
export function suspending(
  service: Pick<Service, 'pause'>,
  terminal: Pick<Silencing, 'suspend' | 'resume'>,
): () => void {
  if (process.platform === 'win32') return () => undefined;
  let playOn: (() => void) | null = null;
  let timer: NodeJS.Timeout | undefined;

  const suspend = (): void => {
    if (playOn) return;
    playOn = service.pause();
    terminal.suspend();
    timer = setTimeout(() => process.kill(process.pid, 'SIGSTOP'), FADE_MS);
  };
  const resume = (): void => {
    clearTimeout(timer);
    // Also after the signal STOP, of which no program hears: what sounded when it came sounds still.
    playOn ??= service.pause();
    terminal.resume();
    timer = setTimeout(() => {
      playOn?.();
      playOn = null;
    }, STALE_MS);
  };
  process.on('SIGTSTP', suspend);
  process.on('SIGCONT', resume);
  return () => {
    clearTimeout(timer);
    process.off('SIGTSTP', suspend);
    process.off('SIGCONT', resume);
  };
}
