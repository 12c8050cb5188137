import type { Tell } from '../ports/contracts.js';
import type { Service } from '../ports/service.js';
import { EXIT } from './cli.js';
import { onReaderGone } from './output.js';

/** A profiler that Node itself was asked for takes SIGPROF for its samples. */
const PROFILED = /--(cpu-)?prof\b/.test(
  [...process.execArgv, process.env['NODE_OPTIONS'] ?? ''].join(' '),
);

/**
 * What asks a program to end: Ctrl-C, another program, a terminal that is closed, and every other signal that
 * would end it without a word while notes are on.
 *
 * Not among them: KILL and STOP, which no program hears of; SEGV, BUS, FPE, ILL and TRAP, after which no code can be
 * trusted to run; PIPE and XFSZ, which Node turns into errors of the write; TTIN and TTOU, which would come again
 * without end if they were heard; real-time signals, which Node cannot hear. After those, notes end as the next
 * room opens its engines.
 */
export const SIGNALS: readonly NodeJS.Signals[] = [
  ...(['SIGINT', 'SIGTERM', 'SIGHUP', 'SIGQUIT', 'SIGBREAK', 'SIGABRT', 'SIGUSR2'] as const),
  ...(['SIGALRM', 'SIGVTALRM', 'SIGXCPU', 'SIGIO', 'SIGPWR', 'SIGSTKFLT', 'SIGSYS'] as const),
  ...(PROFILED ? [] : (['SIGPROF'] as const)),
];

/**
 * Waits until a service has ended by itself or was told to stop. A signal silences everything first;
 * a second one ends the program at once, since whoever asks twice does not want to wait. A reader of
 * our output that goes away stops it as a signal does, and a defect of our own silences everything too.
 */
export async function untilStopped(service: Service, tell: Tell): Promise<void> {
  let asked = false;
  const stop = (): void => {
    if (asked) process.exit(EXIT.failed);
    asked = true;
    void service.stop();
  };
  const crash = (error: unknown): void => {
    tell({
      level: 'error',
      what: `something in pluckwork itself failed: ${(error as Error).message}`,
      next: `Everything is silenced and it ends; please report it: ${(error as Error).stack ?? ''}`,
    });
    process.exitCode = EXIT.failed;
    void service.stop().finally(() => process.exit(EXIT.failed));
  };
  for (const signal of SIGNALS) process.on(signal, stop);
  process.on('uncaughtException', crash);
  process.on('unhandledRejection', crash);
  const readAgain = onReaderGone(() => void service.stop());
  await service.ended;
  readAgain();
  // Who has asked once may ask again while recordings are written: with the same words and exit code.
  if (!asked) for (const signal of SIGNALS) process.off(signal, stop);
  process.off('uncaughtException', crash);
  process.off('unhandledRejection', crash);
}
