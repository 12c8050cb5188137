import type { Tell } from '../ports/contracts.js';
import type { Service } from '../ports/service.js';
import { EXIT } from './cli.js';
import { onReaderGone } from './output.js';

/** What asks a program to end: Ctrl-C, another program, and a terminal that is closed. */
export const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

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
