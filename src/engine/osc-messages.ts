import type { OscMessages } from '../instrument/types.js';
import type { OscArg, OscMessage } from '../wire/osc-codec.js';
import { numberOf, type OscType, type Subject } from './osc-names.js';
import { TemplateError } from './osc-template-error.js';
import { parseTemplate, type Names, type Template, type TemplateArg } from './osc-template.js';

/** What a receiver is sent unless the room says otherwise; config/engines/plain.yaml is the same. */
export const PLAIN: OscMessages = {
  on: '/note/on voice:i note:i frequency:f strength:f',
  off: '/note/off voice:i',
  silence: '/silence',
};

/** A fault in one of the templates. */
export interface MessageFault {
  readonly key: keyof OscMessages;
  /** Counted from 1 in the template. */
  readonly column: number;
  readonly what: string;
  readonly next: string;
}

type Fill = (subject: Subject) => OscMessage;

/** Messages ready to be filled in. */
export interface Messages {
  readonly on: Fill;
  readonly off: Fill;
  readonly silence: OscMessage;
  /** null: a receiver is not told of a new mix by a message of its own. */
  readonly mix: Fill | null;
}

const MAY_HOLD: Readonly<Record<keyof OscMessages, Names>> = {
  on: 'all',
  off: 'all',
  silence: 'none',
  mix: 'seat',
};
const KEYS = Object.keys(MAY_HOLD) as (keyof OscMessages)[];

/** All faults of the templates, for whoever can point at their place in a file; none: []. */
export function messageFaults(messages: OscMessages): MessageFault[] {
  return KEYS.flatMap((key) => {
    const line = messages[key];
    if (line === undefined) return [];
    try {
      parseTemplate(line, MAY_HOLD[key]);
      return [];
    } catch (error) {
      if (!(error instanceof TemplateError)) throw error;
      return [{ key, column: error.column, what: error.what, next: error.next }];
    }
  });
}

/** @throws TemplateError for the first fault */
export function compileMessages(messages: OscMessages): Messages {
  const read = (key: keyof OscMessages, line: string): Fill =>
    compile(parseTemplate(line, MAY_HOLD[key]));
  const silence = read('silence', messages.silence) as unknown as () => OscMessage;
  return {
    on: read('on', messages.on),
    off: read('off', messages.off),
    silence: silence(),
    mix: messages.mix === undefined ? null : read('mix', messages.mix),
  };
}

function compile({ address, args }: Template): Fill {
  const fills = args.map(compileArg);
  const fixed = address.length === 1 && 'text' in address[0]! ? address[0].text : undefined;
  const fill = (subject: Subject): string => {
    let path = '';
    for (const part of address) {
      if ('text' in part) path += part.text;
      else if (part.name === 'seat') path += subject.now.part;
      else if (part.name === 'kind') path += subject.now.kind;
      else path += String(numberOf(part.name, subject));
    }
    return path;
  };
  return (subject) => ({
    address: fixed ?? fill(subject),
    args: fills.map((argument) => argument(subject)),
  });
}

function compileArg(arg: TemplateArg): (subject: Subject) => OscArg {
  const { type } = arg;
  if ('value' in arg) {
    const fixed = oscArg(type, arg.value);
    return () => fixed;
  }
  const { name } = arg;
  if (name === 'kind') return ({ now }) => ({ type, value: now.kind });
  if (type !== 's') return (subject) => oscArg(type, numberOf(name, subject));
  if (name === 'seat') return ({ now }) => ({ type, value: now.name });
  return (subject) => ({ type, value: String(numberOf(name, subject)) });
}

/** The codec takes a 64-bit whole number as its two halves. */
function oscArg(type: OscType, value: number | string): OscArg {
  if (type !== 'h' || typeof value === 'string') return { type, value };
  return { type, value: { high: Math.floor(value / 2 ** 32), low: value | 0 } };
}
