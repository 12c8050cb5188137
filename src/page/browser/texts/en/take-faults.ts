import type { Fault, Note } from '../../take/desk/messages.js';

/** What is wrong, and what to do next. What the core and the service say is English. */
interface FaultWords {
  readonly what: string;
  readonly next: string;
  /** True where `what` is the core's or the service's own, in English. */
  readonly english?: boolean;
}

const COMMANDS = 'pluckwork compare TAKE --rules A --rules B';

export const takeFaults = {
  /** @param take its name, for commands */
  fault: (fault: Fault, take: string): FaultWords => {
    switch (fault.kind) {
      case 'words':
        return { what: fault.what, next: fault.next, english: true };
      case 'unreachable':
        return {
          what: 'The take, or something that it names, could not be fetched.',
          next: 'See whether the computer is awake and on the same network, then try again. Takes of this device that carry their instrument open without it.',
        };
      case 'not-a-take':
        return {
          what: `This file is no take: ${fault.what}.`,
          next: 'Choose a file that the recorder wrote; its name ends in .take.jsonl or .take.jsonl.gz.',
        };
      case 'gzip':
        return {
          what: 'This file is packed (gzip), and nothing of it can be unpacked.',
          next: 'It is damaged. Use another copy of it.',
        };
      case 'own-logic':
        return {
          what: `The rules “${fault.rules}” are played by a module of your own (${fault.file}), which cannot run on this page.`,
          next: `Choose other rules here, or on the computer run: ${COMMANDS.replace('TAKE', take)}`,
        };
      case 'made':
        return {
          what: 'The notes of this take were made on another computer, so that no rules here change them.',
          next: 'Open a take that was recorded there.',
        };
      case 'plan':
        return {
          what: `${fault.what.charAt(0).toUpperCase()}${fault.what.slice(1)}.`,
          next: `On the computer, name it: ${COMMANDS.replace('TAKE', take)} --${fault.instead} NAME`,
          english: true,
        };
      case 'not-notes':
        return {
          what: fault.take ? 'This is a take, not wanted notes.' : 'This file holds no notes.',
          next: fault.take
            ? 'Make notes of it on the computer: pluckwork rerun TAKE --notes FILE'
            : 'Choose a notes file: one note a line, as “pluckwork rerun” writes them.',
        };
      case 'broken':
        return {
          what: `This part of the page failed: ${fault.what}.`,
          next: 'Load the page anew; playing is not touched by that.',
        };
    }
  },
  note: (note: Note): string => {
    switch (note.kind) {
      case 'cut-gzip':
        return 'The packed file breaks off: it was read as far as it goes.';
      case 'lines': {
        const of = note.of === 'take' ? 'the take' : 'the wanted notes';
        const first = `line ${String(note.line)}: ${note.what}`;
        return note.count === 1
          ? `One line of ${of} could not be read (${first}).`
          : `${String(note.count)} lines of ${of} could not be read (the first is ${first}).`;
      }
      case 'none-wanted':
        return 'No notes are wanted, so that every note counts as not wanted.';
      case 'swapped-logic':
        return `From ${(note.t / 1e6).toFixed(2)} s on a module of your own played (${note.file}); here the built-in logic plays instead. “pluckwork compare” runs both.`;
      case 'others-logic':
        return `A module of their own plays at ${note.seats.join(', ')}; here the built-in logic plays there instead. “pluckwork explain” runs it.`;
      case 'failed':
        return `The playing logic failed at ${(note.t / 1e6).toFixed(2)} s and ended its notes: ${note.what}. It went on from there.`;
    }
  },
};
