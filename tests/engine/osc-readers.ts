import { decode } from 'node-osc';
import { fromBuffer, type OscArgOutputOrArray, type OscPacketOutput } from 'osc-min';
import { expect } from 'vitest';

/** One message as a receiver reads it. */
export interface ReadMessage {
  readonly address: string;
  /** integer, float, string, double or bigint. */
  readonly types: readonly string[];
  readonly args: readonly unknown[];
  /** The time tag as seconds since 1970; null: not in a bundle. */
  readonly at: number | null;
}

const SECONDS_1900_TO_1970 = 2_208_988_800;

/** Reads a packet with osc-min 2.1.2. */
export function readWithMin(packet: Uint8Array): ReadMessage[] {
  return flattenMin(fromBuffer(packet), null);
}

function flattenMin(read: OscPacketOutput, at: number | null): ReadMessage[] {
  if (read.oscType === 'bundle') {
    const [seconds, fraction] = read.timetag;
    const own = seconds - SECONDS_1900_TO_1970 + fraction / 2 ** 32;
    return read.elements.flatMap((element) => flattenMin(element, own));
  }
  const args = read.args as Exclude<OscArgOutputOrArray, unknown[]>[];
  const types = args.map(({ type }) => type);
  const values = args.map((arg) => ('value' in arg ? arg.value : undefined));
  return [{ address: read.address, types, args: values, at }];
}

/** Reads a packet with node-osc 11.7.1 too, which knows no d and h, and says no types. */
export function readWithBoth(packet: Uint8Array): ReadMessage[] {
  expect(packet.length % 4).toBe(0);
  const read = readWithMin(packet);
  const other = flattenNode(decode(Buffer.from(packet)) as NodePacket, null);
  expect(other).toEqual(read.map(({ address, args, at }) => ({ address, args, at })));
  return read;
}

type NodePacket =
  | { oscType: 'message'; address: string; args: { value: unknown }[] }
  | { oscType: 'bundle'; timetag: number; elements: NodePacket[] };

function flattenNode(read: NodePacket, at: number | null): Omit<ReadMessage, 'types'>[] {
  if (read.oscType === 'bundle') {
    return read.elements.flatMap((element) => flattenNode(element, read.timetag));
  }
  return [{ address: read.address, args: read.args.map(({ value }) => value), at }];
}
