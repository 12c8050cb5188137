/**
 * The least of the last so many integers: a queue of values that only grow, and when each came (a monotonic
 * queue, common practice). It allocates nothing as it goes.
 */
export class SlidingLeast {
  private readonly values: Int32Array;
  /** Counted on and on in 32 bits; only differences are looked at. */
  private readonly cameAt: Int32Array;
  private head = 0;
  private size = 0;
  private now = 0;

  /**
   * @param length how many values count, the newest with them
   * @param before what came before the first
   */
  constructor(
    private readonly length: number,
    before: number,
  ) {
    this.values = new Int32Array(length);
    this.cameAt = new Int32Array(length);
    this.next(before);
  }

  /** Takes in one value and gives the least of the last `length`. */
  next(value: number): number {
    const { length, values, cameAt } = this;
    const now = (this.now = (this.now + 1) | 0);
    if (this.size > 0 && ((now - cameAt[this.head]!) | 0) >= length) {
      this.head = this.head + 1 === length ? 0 : this.head + 1;
      this.size--;
    }
    while (this.size > 0 && values[(this.head + this.size - 1) % length]! >= value) this.size--;
    const tail = (this.head + this.size) % length;
    values[tail] = value;
    cameAt[tail] = now;
    this.size++;
    return values[this.head]!;
  }
}
