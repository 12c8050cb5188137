/** Calls back once after so many milliseconds; the returned function calls it off. */
export type Later = (ms: number, then: () => void) => () => void;

/** The browser's own timers. */
export const later: Later = (ms, then) => {
  const timer = setTimeout(then, ms);
  return () => {
    clearTimeout(timer);
  };
};

/** At most 20 wishes a second leave one control. */
export const WISH_EVERY = 50;
/** How long a control still shows what was asked for after it was answered, in ms: the state follows. */
export const SETTLE = 250;

/**
 * What a control that is being moved shows and asks for. It shows what the person does, and goes back
 * to what is in effect only once they let go, the last wish was answered and the state has followed.
 *
 * @param send asks for a value; resolves once that was answered
 * @param show is told what to show; null: what is in effect
 */
export class Wishing<Value> {
  private waiting: { readonly value: Value } | null = null;
  private resting = true;
  private moving = false;
  private pending = 0;
  private calledOff: () => void = () => undefined;

  constructor(
    private readonly send: (value: Value) => Promise<unknown>,
    private readonly show: (value: Value | null) => void,
    private readonly wait: Later = later,
  ) {}

  /** The person moves it. */
  move(value: Value): void {
    this.moving = true;
    this.calledOff();
    this.show(value);
    this.waiting = { value };
    this.next();
  }

  /** The person has let go of it. */
  letGo(): void {
    this.moving = false;
    this.settle();
  }

  private next(): void {
    if (!this.resting || !this.waiting) return;
    const { value } = this.waiting;
    this.waiting = null;
    this.resting = false;
    this.pending++;
    void this.send(value).finally(() => {
      this.pending--;
      this.settle();
    });
    this.wait(WISH_EVERY, () => {
      this.resting = true;
      this.next();
    });
  }

  private settle(): void {
    if (this.moving || this.waiting || this.pending > 0) return;
    this.calledOff();
    this.calledOff = this.wait(SETTLE, () => {
      if (!this.moving && !this.waiting && this.pending === 0) this.show(null);
    });
  }
}
