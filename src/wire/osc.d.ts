/**
 * What we use of the untyped package `osc`: the codec alone, without its transports (which would
 * load sockets and a serial port).
 */
declare module 'osc/src/osc.js' {
  interface TimeTag {
    readonly raw: readonly [seconds: number, fraction: number];
  }

  interface Arg {
    readonly type: string;
    readonly value: unknown;
  }

  interface Message {
    readonly address: string;
    readonly args: readonly (Arg | readonly Arg[])[];
  }

  interface Bundle {
    readonly timeTag: TimeTag;
    readonly packets: readonly (Message | Bundle)[];
  }

  interface Options {
    /** Arguments are `{ type, value }`. */
    readonly metadata: true;
    /** A single argument is still a list. */
    readonly unpackSingleArgs: false;
  }

  const osc: {
    /** @throws whatever comes, for bytes that are no OSC packet */
    readPacket(data: Uint8Array, options: Options): Message | Bundle;
    writePacket(packet: Message | Bundle, options: Options): Uint8Array;
  };
  export default osc;
}
