/** Something of a track at its time, in ticks from the start of the file. */
export interface TrackEvent {
  readonly tick: number;
  readonly bytes: ArrayLike<number>;
}

/** A quantity of variable length, 7 bits a byte (Standard MIDI Files 1.0): 0 to 0FFFFFFF. */
export function variableLength(value: number): number[] {
  const bytes = [value & 127];
  for (let rest = value >>> 7; rest > 0; rest >>>= 7) bytes.unshift(128 | (rest & 127));
  return bytes;
}

const LONGEST_TIME = 0x0fffffff;

/** A meta event: FF, its kind, the length of its data, the data. */
export function meta(kind: number, data: ArrayLike<number>): number[] {
  return [0xff, kind, ...variableLength(data.length), ...Array.from(data)];
}

/** The data of a track chunk: each event behind the time since the one before, and End of Track. */
export function track(events: readonly TrackEvent[]): number[] {
  const bytes: number[] = [];
  let last = 0;
  for (const event of events) {
    // A longer time than one quantity holds is told in steps, each before a text of no letters.
    for (; event.tick - last > LONGEST_TIME; last += LONGEST_TIME) {
      bytes.push(...variableLength(LONGEST_TIME), ...meta(0x01, []));
    }
    bytes.push(...variableLength(event.tick - last));
    for (let i = 0; i < event.bytes.length; i++) bytes.push(event.bytes[i]!);
    last = event.tick;
  }
  bytes.push(0, ...meta(0x2f, []));
  return bytes;
}

/** A chunk: its four letters, the length of its data in 32 bits, the data. */
export function chunk(kind: string, data: readonly number[]): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(8 + data.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < 4; i++) view.setUint8(i, kind.charCodeAt(i));
  view.setUint32(4, data.length);
  bytes.set(data, 8);
  return bytes;
}
