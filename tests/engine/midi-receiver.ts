/** What a receiver makes of a stream of whole MIDI messages, by MIDI 1.0's own tables. */
export class MidiReceiver {
  /** By channel; as they travel, counted from 0. */
  readonly programs = new Array<number>(16).fill(0);
  readonly volumes = new Array<number>(16).fill(100);
  readonly pans = new Array<number>(16).fill(64);
  /** The channel · 128 + note of what sounds. */
  readonly sounding = new Set<number>();

  /** The note that begins with this message; null: none does. */
  receive([status = 0, first = 0, second = 0]: readonly number[]): {
    channel: number;
    note: number;
    velocity: number;
  } | null {
    const channel = status & 15;
    const key = channel * 128 + first;
    switch (status >> 4) {
      case 8:
        this.sounding.delete(key);
        return null;
      case 9:
        this.sounding.add(key);
        return { channel, note: first, velocity: second };
      case 11:
        if (first === 7) this.volumes[channel] = second;
        if (first === 10) this.pans[channel] = second;
        return null;
      case 12:
        this.programs[channel] = first;
        return null;
      default:
        throw new Error(`not expected: ${String(status)}`);
    }
  }
}
