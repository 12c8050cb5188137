import type { OscMessages } from '../instrument/types.js';
import type { VoiceOn } from '../room/voice.js';
import type { OscArg, OscMessage } from '../wire/osc-codec.js';
import { addressPart, numberOf, type OscType } from './osc-names.js';
import { TemplateError } from './osc-template-error.js';
import { parseTemplate, type Template, type TemplateArg } from './osc-template.js';
import type { SeatSound } from './seat-sound.js';

/** What a receiver is sent unless the room says otherwise; config/engines/plain.yaml is the same. */
export const PLAIN: OscMessages = {
  on: '/note/on voice:i note:i frequency:f strength:f',
  off: '/note/off voice:i',
  silence: '/silence',
};

/** A fault in one of the three templates. */
export interface MessageFault {
  readonly key: keyof OscMessages;
  /** Counted from 1 in the template. */
  readonly column: number;
  readonly what: string;
  readonly next: string;
}

/** Messages ready to be filled in with what a voice began with. */
export interface Messages {
  on(on: VoiceOn): OscMessage;
  off(on: VoiceOn): OscMessage;
  readonly silence: OscMessage;
}

const KEYS = ['on', 'off', 'silence'] as const;

/** All faults of the templates, for whoever can point at their place in a file; none: []. */
export function messageFaults(messages: OscMessages): MessageFault[] {
  return KEYS.flatMap((key) => {
    try {
      read(messages, key);
      return [];
    } catch (error) {
      if (!(error instanceof TemplateError)) throw error;
      return [{ key, column: error.column, what: error.what, next: error.next }];
    }
  });
}

/** @throws TemplateError for the first fault */
export function compileMessages(messages: OscMessages, seats: readonly SeatSound[]): Messages {
  const silence = compile(read(messages, 'silence'), seats) as unknown as () => OscMessage;
  return {
    on: compile(read(messages, 'on'), seats),
    off: compile(read(messages, 'off'), seats),
    silence: silence(),
  };
}

/** A silence is about no single voice, so its template has fixed values only. */
function read(messages: OscMessages, key: keyof OscMessages): Template {
  return parseTemplate(messages[key], key === 'silence' ? 'none' : 'all');
}

function compile(
  { address, args }: Template,
  seats: readonly SeatSound[],
): (on: VoiceOn) => OscMessage {
  const names = addressNames(seats);
  const fills = args.map((arg) => compileArg(arg, seats));
  const fixed = address.length === 1 && 'text' in address[0]! ? address[0].text : undefined;
  const fill = (on: VoiceOn): string => {
    let path = '';
    for (const part of address) {
      if ('text' in part) path += part.text;
      else path += part.name === 'seat' ? names[on.seat]! : String(numberOf(part.name, on));
    }
    return path;
  };
  return (on) => ({ address: fixed ?? fill(on), args: fills.map((argument) => argument(on)) });
}

function compileArg(arg: TemplateArg, seats: readonly SeatSound[]): (on: VoiceOn) => OscArg {
  const { type } = arg;
  if ('value' in arg) {
    const fixed = oscArg(type, arg.value);
    return () => fixed;
  }
  const { name } = arg;
  if (type !== 's') return (on) => oscArg(type, numberOf(name, on));
  if (name === 'seat') return (on) => ({ type, value: seats[on.seat]!.name });
  return (on) => ({ type, value: String(numberOf(name, on)) });
}

/** The codec takes a 64-bit whole number as its two halves. */
function oscArg(type: OscType, value: number | string): OscArg {
  if (type !== 'h' || typeof value === 'string') return { type, value };
  return { type, value: { high: Math.floor(value / 2 ** 32), low: value | 0 } };
}

/** Seats as parts of addresses; two that would be alike are told apart by a number. */
function addressNames(seats: readonly SeatSound[]): string[] {
  const taken = new Set<string>();
  return seats.map(({ name }) => {
    const plain = addressPart(name);
    let own = plain;
    for (let i = 2; taken.has(own); i++) own = `${plain}_${String(i)}`;
    taken.add(own);
    return own;
  });
}
