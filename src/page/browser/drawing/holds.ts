/** Who holds a pad: one finger, the keyboard, or a pad that was latched. */
export type Holder = string;

/**
 * Which pads are held on the drawing, by whom. A pad is pressed as its first holder comes and released as
 * its last one goes, so that two fingers on one pad are one touch, as they are on card and copper.
 */
export class Holds {
  private readonly by = new Map<Holder, number>();

  constructor(
    private readonly press: (pad: number, strength: number) => void,
    private readonly release: (pad: number) => void,
  ) {}

  /** A holder is on this pad from now on, and on no other; null: on none, but it may come back. */
  put(holder: Holder, pad: number | null, strength: number): void {
    const before = this.by.get(holder);
    if (before === pad || (before === undefined && pad === null)) return;
    const fresh = pad !== null && !this.held(pad);
    this.by.delete(holder);
    if (pad !== null) this.by.set(holder, pad);
    // The new one first: a finger that slides along a string never leaves it.
    if (pad !== null && fresh) this.press(pad, strength);
    if (before !== undefined && !this.held(before)) this.release(before);
  }

  letGo(holder: Holder): void {
    this.put(holder, null, 0);
  }

  /** Everybody lets go. */
  letGoAll(): void {
    for (const holder of [...this.by.keys()]) this.letGo(holder);
  }

  held(pad: number): boolean {
    for (const one of this.by.values()) if (one === pad) return true;
    return false;
  }

  holds(holder: Holder): boolean {
    return this.by.has(holder);
  }
}
