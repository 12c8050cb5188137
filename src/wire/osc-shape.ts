import type { OscTimeTag } from './osc-time.js';

/** Where one message lies in a packet, and the time tag of the bundle that it is in. */
export interface OscPart {
  readonly from: number;
  readonly to: number;
  readonly at?: OscTimeTag;
}

/** Longer packets are refused; a network carries 1,472 bytes whole. */
export const OSC_PACKET_MOST = 8_192;
export const OSC_MESSAGES_MOST = 512;
/** Bundles within bundles. */
export const OSC_DEPTH_MOST = 8;
/** Of all messages of a packet; a board of 1,024 inputs sends 1,026. */
export const OSC_ARGS_MOST = 2_048;
/** Array arguments, which nothing here asks for: the package takes quadratic time over many. */
export const OSC_ARRAYS_MOST = 16;

/** The word "#bundle" and a time tag. */
const HEAD = 16;
const BUNDLE = [...'#bundle\0'].map((letter) => letter.charCodeAt(0));
const [HASH, COMMA, OPEN] = [0x23, 0x2c, 0x5b];

/**
 * Finds the messages of a packet, in their order, in time linear in its size, and refuses what would take
 * long to read. Whether each is a message is found by reading it.
 *
 * @returns a string: what is wrong with the packet
 */
export function oscParts(bytes: Uint8Array): readonly OscPart[] | string {
  const size = bytes.length;
  if (size === 0 || size % 4 !== 0) {
    return `${String(size)} bytes, and the size of an OSC packet is a multiple of 4`;
  }
  if (size > OSC_PACKET_MOST) return `${String(size)} bytes, more than ${String(OSC_PACKET_MOST)}`;
  const view = new DataView(bytes.buffer, bytes.byteOffset, size);
  const parts: OscPart[] = [];
  let [args, arrays] = [0, 0];

  function message(from: number, to: number, at?: OscTimeTag): string | undefined {
    if (parts.length === OSC_MESSAGES_MOST) {
      return `more than ${String(OSC_MESSAGES_MOST)} messages in one packet`;
    }
    parts.push({ from, to, ...(at && { at }) });
    let place = bytes.indexOf(0, from);
    if (place < 0 || place >= to) return undefined;
    // Past the padding, which fills up to four.
    place += 4 - ((place - from) % 4);
    if (bytes[place] !== COMMA) return undefined;
    for (place++; place < to && bytes[place] !== 0; place++) {
      args++;
      if (bytes[place] === OPEN) arrays++;
    }
    if (args > OSC_ARGS_MOST) return `more than ${String(OSC_ARGS_MOST)} arguments in one packet`;
    if (arrays > OSC_ARRAYS_MOST) return `more than ${String(OSC_ARRAYS_MOST)} lists in one packet`;
    return undefined;
  }

  function bundle(from: number, to: number, depth: number): string | undefined {
    if (to - from < HEAD || BUNDLE.some((byte, i) => bytes[from + i] !== byte)) {
      return 'it begins as a bundle does, and is none';
    }
    if (depth > OSC_DEPTH_MOST) return 'its bundles within bundles go too deep';
    const at = { seconds: view.getUint32(from + 8), fraction: view.getUint32(from + 12) };
    for (let place = from + HEAD; place < to;) {
      const length = view.getInt32(place);
      const start = place + 4;
      place = start + length;
      if (length <= 0 || length % 4 !== 0 || place > to) {
        return `a part of its bundle is ${String(length)} bytes long, and ${String(to - start)} are left`;
      }
      const fault =
        bytes[start] === HASH ? bundle(start, place, depth + 1) : message(start, place, at);
      if (fault !== undefined) return fault;
    }
    return undefined;
  }

  return (bytes[0] === HASH ? bundle(0, size, 1) : message(0, size)) ?? parts;
}
