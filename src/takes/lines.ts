/** A room's header holds each seat's instrument, build and rules; what is longer is no take. */
export const LONGEST_LINE = 16_000_000;
/** So much of a take without a line that can be read, and it is no take. */
const MOST_BARREN = 64_000_000;
const LINE_END = 10;

/** Takes one line that is not blank: its number, counted from 1; `whole` unless its line end is missing. */
export type OnLine = (content: string, line: number, whole: boolean) => void;

/** Thrown where nothing readable comes for so long that looking on would only cost time. */
export class Barren extends Error {
  override readonly name = 'Barren';
}

/**
 * Cuts a text that comes in pieces into lines. It holds no more of the text than one line, and no line
 * longer than `LONGEST_LINE`: of such a line only its number is told.
 */
export class LineCutter {
  /** What came of a line whose end is still to come. */
  private parts: string[] = [];
  private pending = 0;
  private line = 1;
  /** How much came since a piece of which a line could be read. */
  private barren = 0;
  private found = false;

  /**
   * @param each takes the lines
   * @param tooLong is told the number of a line that is too long
   */
  constructor(
    private readonly each: OnLine,
    private readonly tooLong: (line: number) => void,
  ) {}

  /** Told by whoever could read a line. */
  fruitful(): void {
    this.found = true;
  }

  /** @throws Barren */
  push(piece: string): void {
    let start = 0;
    for (;;) {
      const stop = piece.indexOf('\n', start);
      if (stop < 0) break;
      if (this.pending > 0) {
        this.hold(piece.slice(start, stop));
        this.finish(true);
      } else if (stop > start) this.tell(piece.slice(start, stop), true);
      this.line += 1;
      start = stop + 1;
      // Of blank lines there may be millions in a row.
      while (piece.charCodeAt(start) === LINE_END) {
        start += 1;
        this.line += 1;
      }
    }
    if (start < piece.length) this.hold(start === 0 ? piece : piece.slice(start));
    this.barren = this.found ? 0 : this.barren + piece.length;
    this.found = false;
    if (this.barren > MOST_BARREN) {
      throw new Barren(
        `nothing that can be read stands before line ${String(this.line)} for ` +
          `${String(MOST_BARREN / 1e6)} million characters: it is no take, or it is damaged there`,
      );
    }
  }

  /** Told after the last piece. */
  end(): void {
    if (this.pending > 0) this.finish(false);
  }

  private hold(part: string): void {
    this.pending += part.length;
    if (this.pending > LONGEST_LINE) this.parts = [];
    else this.parts.push(part);
  }

  private finish(whole: boolean): void {
    const { parts, pending } = this;
    this.parts = [];
    this.pending = 0;
    if (pending > LONGEST_LINE) this.tooLong(this.line);
    else this.tell(parts.join(''), whole);
  }

  private tell(content: string, whole: boolean): void {
    if (content.trim() !== '') this.each(content, this.line, whole);
  }
}
