import type { OscArg } from './osc-codec.js';

/** A packet that the codec once wrote, of a message with nothing but 32-bit numbers, to fill in again. */
export class NumberPacket {
  private readonly types: readonly string[];
  /** Numbers are the packet's last bytes: four each, whatever comes before. */
  private readonly first: number;

  constructor(
    private readonly written: Uint8Array,
    args: readonly OscArg[],
  ) {
    this.types = args.map(({ type }) => type);
    this.first = written.length - 4 * args.length;
  }

  /** Whether `args` are of the very types that this packet was written with. */
  fits(args: readonly (OscArg | readonly OscArg[])[]): args is readonly OscArg[] {
    if (args.length !== this.types.length) return false;
    for (let i = 0; i < args.length; i++) {
      if ((args[i] as Partial<OscArg>).type !== this.types[i]) return false;
    }
    return true;
  }

  /** The packet with these numbers, whose ranges were checked before. */
  fill(args: readonly OscArg[]): Uint8Array {
    const bytes = new Uint8Array(this.written);
    const view = new DataView(bytes.buffer);
    for (let i = 0; i < args.length; i++) {
      const { type, value } = args[i]!;
      const at = this.first + 4 * i;
      if (type === 'i') view.setInt32(at, value as number);
      else view.setFloat32(at, value as number);
    }
    return bytes;
  }
}

/** Whether all of a message's arguments are 32-bit numbers. */
export function allNumbers(
  args: readonly (OscArg | readonly OscArg[])[],
): args is readonly OscArg[] {
  return args.every((arg) => 'type' in arg && (arg.type === 'i' || arg.type === 'f'));
}
