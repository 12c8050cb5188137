import { NEVER, type Micros } from '../time/micros.js';
import type { NoteOut, Setup } from './own-logic-contract.js';
import { LogicFault } from './own-logic-run.js';

/** An answer that was found to be right, with all that may be left out filled in. */
export interface CheckedAnswer {
  readonly out: readonly CheckedNote[];
  readonly wake: Micros;
}

export type CheckedNote =
  Required<Extract<NoteOut, { type: 'on' }>> | Extract<NoteOut, { type: 'off' }>;

/** More than any hand asks for at once; a loop that has gone wrong makes more. */
export const MOST_NOTES = 256;

/**
 * Checks what a module answered to an event.
 *
 * @param t the event's time
 * @param file the module's, for messages
 * @throws LogicFault which names what is wrong, and what is allowed
 */
export function checkAnswer(
  answer: unknown,
  { strings }: Pick<Setup, 'strings'>,
  t: Micros,
  file: string,
): CheckedAnswer {
  function refuse(what: string, allowed: string): never {
    throw new LogicFault(
      `its step answered ${what}`,
      file,
      `Allowed is ${allowed}; config/logic/contract.ts explains it.`,
    );
  }

  const number = (key: string, value: unknown, most: number, whole: boolean): number => {
    const right = typeof value === 'number' && value >= 0 && value <= most;
    if (right && (!whole || Number.isInteger(value))) return value;
    const kind = whole ? 'whole number' : 'number';
    return refuse(`${key} ${written(value)}`, `a ${kind} from 0 to ${String(most)}`);
  };
  const maybe = (key: string, value: unknown): boolean => {
    if (value === undefined || typeof value === 'boolean') return value ?? false;
    return refuse(`${key} ${written(value)}`, 'true or false');
  };

  function note(value: unknown): CheckedNote {
    if (!isObject(value)) return refuse(`${written(value)} in "out"`, "{ type: 'on' … } or 'off'");
    const { type, string: index, ...rest } = value;
    if (type !== 'on' && type !== 'off') {
      return refuse(`type ${written(type)} in "out"`, "type 'on' or 'off'");
    }
    const string = number('string', index, strings.length - 1, true);
    if (type === 'off') return { type, string };
    return {
      type,
      string,
      note: number('note', rest['note'], 127, true),
      strength: number('strength', rest['strength'], 1, false),
      fret: number('fret', rest['fret'] ?? 0, strings[string]!.frets, true),
      slur: maybe('slur', rest['slur']),
    };
  }

  function wake(value: unknown): Micros {
    if (value === undefined || value === null) return NEVER;
    if (typeof value === 'number' && value > t) return Math.ceil(value);
    return refuse(
      `wake ${written(value)}`,
      `a time later than the event's, which is ${String(t)} µs`,
    );
  }

  if (!isObject(answer)) return refuse(written(answer), '{ state, out, wake }');
  const { out = [], wake: asked } = answer;
  if (!Array.isArray(out)) return refuse(`out ${written(out)}`, 'a list of notes');
  if (out.length > MOST_NOTES) {
    return refuse(`${String(out.length)} notes at once`, `up to ${String(MOST_NOTES)}`);
  }
  return { out: out.map(note), wake: wake(asked) };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function written(value: unknown): string {
  if (value === undefined) return 'nothing';
  try {
    const text = JSON.stringify(value);
    return text.length > 60 ? `${text.slice(0, 60)}…` : text;
  } catch {
    return 'something that is no plain data';
  }
}
