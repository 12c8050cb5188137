import { createInterface } from 'node:readline/promises';
import { foundWords } from '../instrument/words.js';
import type { ReadySeat } from '../ports/files/room.js';
import { modulesOf } from '../ports/takes/seat.js';
import { personalTrust, type AskPerson, type Trust } from '../ports/takes/trust.js';
import { trustedModules } from '../ports/logic/trusted.js';
import type { Call, Options } from './cli.js';

/** What every command takes that may run a module which a take carries. */
export const TRUST: Options = {
  trust: { about: 'run modules that the take carries, this time, without asking' },
};

const known = trustedModules();

/** Which modules of takes may run, as the call and this person's settings say, asking where one can. */
export function trustOf(call: Call): Trust {
  const terminal = process.stdin.isTTY && process.stderr.isTTY;
  return personalTrust(known, {
    once: call.values.trust === true,
    ask: terminal ? asking(call) : null,
  });
}

/** Modules that lie among this person's own files may run again when a take gives them back. */
export function trustOwn(seats: readonly (Pick<ReadySeat, 'rules' | 'choices'> | null)[]): void {
  const all = seats.flatMap((seat) => (seat ? [seat, ...seat.choices] : []));
  for (const { rules } of all) {
    if (rules.logic?.code) known.addCode(rules.logic.code, rules.logic.file);
  }
}

/**
 * Asks, before a room plays, about modules that its takes bring into play.
 *
 * @throws TakeFileFault where one may not run
 */
export async function requireTakes(seats: readonly ReadySeat[], trust: Trust): Promise<void> {
  for (const { seat } of seats) {
    const { from } = seat;
    if (!('take' in from)) continue;
    for (const own of await modulesOf(from)) await trust.require({ own, take: from.take });
  }
}

function asking(call: Call): AskPerson {
  return async ({ own, take }, hash) => {
    const size = `${String(Math.ceil((own.code ?? '').length / 1_024))} KB`;
    call.tell({
      level: 'warn',
      what: `The take carries a module of its own, ${foundWords(own.file)} (${size}, SHA-256 ${hash.slice(0, 16)})`,
      where: take,
      next:
        'It is a program by whoever made the take. It is kept apart from the rest, but nothing here ' +
        'protects this computer from a malicious one. Run it only if you trust them',
    });
    const lines = createInterface({ input: process.stdin, output: process.stderr });
    try {
      const answer = await lines.question(
        'Run it, now and whenever a take carries the same? [y/N] ',
      );
      return /^(y|yes)$/i.test(answer.trim());
    } finally {
      lines.close();
    }
  };
}
