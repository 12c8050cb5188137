import { SECOND, type Micros } from '../../time/micros.js';

/** The share of each block's lateness that the clock follows: it averages over some 30 blocks. */
const FOLLOW = 0.03;
/** Off by more blocks than this, the clock begins again: the card stopped, or the machine slept. */
const LOST_BLOCKS = 2;

/**
 * Says at which frame something must sound that happened at some time.
 *
 * A sound card asks for a block at a time, a little late now and then. Were events put at the start of the
 * next block, they would come up to a block later or not; so each is put one block after its own time,
 * which every event can meet: the delay is steady. (A steady 10 ms was not judged worse than none, but
 * 10 ± 3 ms was: Jack, Mehrabi, Stockman & McPherson, Music Perception 36(1), 2018.)
 *
 * Following a fraction of each block's lateness is a delay-locked loop of the first order, after F. Adriaensen,
 * "Using a DLL to filter time", Linux Audio Conference 2005.
 */
export class FrameClock {
  private frame = 0;
  private time: Micros = 0;
  private length = 0;

  constructor(private readonly sampleRate: number) {}

  /**
   * To be called as the card asks for a block.
   *
   * @param frame the number of the block's first frame
   * @param length its frames
   */
  block(now: Micros, frame: number, length: number): void {
    const expected = this.time + ((frame - this.frame) * SECOND) / this.sampleRate;
    const late = now - expected;
    const lost = (LOST_BLOCKS * length * SECOND) / this.sampleRate;
    this.time = this.length === 0 || Math.abs(late) > lost ? now : expected + FOLLOW * late;
    this.frame = frame;
    this.length = length;
  }

  /** The frame for something that happened at `t`; 0 before the first block. It may be past already. */
  frameAt(t: Micros): number {
    if (this.length === 0) return 0;
    const since = Math.round(((t - this.time) * this.sampleRate) / SECOND);
    // Never more than two blocks ahead: a clock that is off must not hold a note back.
    return this.frame + Math.min(since + this.length, 2 * this.length);
  }
}
