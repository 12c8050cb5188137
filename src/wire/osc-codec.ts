import osc from 'osc/src/osc.js';
import { allNumbers, NumberPacket } from './osc-numbers.js';
import { oscParts } from './osc-shape.js';
import type { OscTimeTag } from './osc-time.js';

/**
 * One argument with its type tag: i, f, d numbers; s, S strings; b, m bytes; T, F, I, N by their
 * tag alone; h, t, c, r as the `osc` package gives them.
 */
export interface OscArg {
  readonly type: string;
  readonly value: unknown;
}

export interface OscMessage {
  readonly address: string;
  /** An array argument is a list of its own. */
  readonly args: readonly (OscArg | readonly OscArg[])[];
  /** The time tag of the bundle that it came in. */
  readonly at?: OscTimeTag;
}

export interface OscBundle {
  readonly at: OscTimeTag;
  readonly packets: readonly (OscMessage | OscBundle)[];
}

export type OscDecoded =
  /** The messages of the packet, those of its bundles in their order. */
  { readonly ok: readonly OscMessage[] } | { readonly error: string };

const OPTIONS = { metadata: true, unpackSingleArgs: false } as const;
/** Read wrongly by the package where the bytes do not fill their buffer. */
const VIEWS = new Set(['b', 'm', 'r']);

type Packet = ReturnType<typeof osc.readPacket>;
type Message = Extract<Packet, { address: string }>;

/**
 * Reads one OSC 1.0 packet. It never throws, and refuses one that would take long (see `oscParts`).
 *
 * Blobs may be views on `bytes`. The copy that they need where `bytes` is part of a larger buffer is
 * made only for packets that have any.
 *
 * @param bytes one whole packet, such as a UDP datagram
 */
export function decodeOsc(bytes: Uint8Array): OscDecoded {
  const parts = oscParts(bytes);
  if (typeof parts === 'string') return { error: parts };
  const messages: OscMessage[] = [];
  try {
    for (const { from, to, at } of parts) {
      const { address, args } = readMessage(bytes.subarray(from, to));
      messages.push(at ? { address, args, at } : { address, args });
    }
    return { ok: messages };
  } catch (error) {
    return { error: error instanceof Error ? error.message : String(error) };
  }
}

/** A packet that holds no bundle. */
function readMessage(bytes: Uint8Array): Message {
  const message = osc.readPacket(bytes, OPTIONS) as Message;
  const isPart = bytes.byteLength !== bytes.buffer.byteLength;
  if (!isPart || !hasViews(message)) return message;
  // Not bytes.slice(): a Node Buffer's is no copy.
  return osc.readPacket(Uint8Array.from(bytes), OPTIONS) as Message;
}

function hasViews({ args }: Message): boolean {
  return args.some((arg) =>
    'type' in arg ? VIEWS.has(arg.type) : arg.some(({ type }) => VIEWS.has(type)),
  );
}

/**
 * Writes one OSC 1.0 packet.
 *
 * @throws RangeError for an argument that would arrive as something else (a fraction as an integer,
 *   a number that is none, a string with a NUL in it) or an address that does not begin with '/'
 */
export function encodeOsc(packet: OscMessage | OscBundle): Uint8Array {
  if ('packets' in packet) return osc.writePacket(toPackage(packet), OPTIONS);
  const { address, args } = packet;
  const known = written.get(address);
  if (known?.fits(args)) {
    args.forEach(requireSendable);
    return known.fill(args);
  }
  const bytes = osc.writePacket(toPackage(packet), OPTIONS);
  if (allNumbers(args) && written.size < WRITTEN_MOST) {
    written.set(address, new NumberPacket(bytes, args));
  }
  return bytes;
}

/**
 * Packets of nothing but numbers, by their address, as the package wrote them the first time. Notes
 * come on the same few addresses over and over, and this is the shortest part of their way.
 */
const written = new Map<string, NumberPacket>();
/** Far more addresses than the strings of a full room have. */
const WRITTEN_MOST = 1024;

function toPackage(packet: OscMessage | OscBundle): Packet {
  if ('packets' in packet) {
    const { seconds, fraction } = packet.at;
    return { timeTag: { raw: [seconds, fraction] }, packets: packet.packets.map(toPackage) };
  }
  const { address, args } = packet;
  if (!/^\/[\x21-\x7e]*$/.test(address)) refuse('address', address);
  for (const arg of args.flat()) requireSendable(arg);
  return { address, args };
}

function requireSendable({ type, value }: OscArg): void {
  if (!isSendable(type, value)) refuse(`argument of type ${type}`, value);
}

function isSendable(type: string, value: unknown): boolean {
  switch (type) {
    case 'i':
      return typeof value === 'number' && (value | 0) === value;
    case 'f':
      return typeof value === 'number' && Number.isFinite(Math.fround(value));
    case 'd':
      return Number.isFinite(value);
    case 's':
    case 'S':
      return typeof value === 'string' && !value.includes('\0');
    default:
      return true;
  }
}

function refuse(what: string, value: unknown): never {
  throw new RangeError(`OSC cannot carry ${JSON.stringify(value) ?? String(value)} as ${what}`);
}
