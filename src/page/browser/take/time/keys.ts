/** What of a pressed key counts. */
export interface Press {
  readonly key: string;
  readonly shiftKey: boolean;
  readonly ctrlKey: boolean;
  readonly altKey: boolean;
  readonly metaKey: boolean;
}

/** What a key does in the picture and beside it. */
export interface Acts {
  zoom(factor: number): void;
  /** Scrolls by a share of what is shown. */
  move(share: number): void;
  next(way: 1 | -1): void;
  /** Moves the line by steps, or to another row. */
  line(steps: number, rows: number): void;
  ends(way: 1 | -1): void;
  why(): void;
}

/**
 * Does what a key asks for.
 *
 * @param inPicture whether the picture has the focus; beside it, arrows belong to others
 * @returns whether it was one of ours
 */
export function keyDone(event: Press, inPicture: boolean, acts: Acts): boolean {
  if (event.ctrlKey || event.altKey || event.metaKey) return false;
  const { key, shiftKey } = event;
  switch (key) {
    case '+':
    case '=':
      acts.zoom(2);
      return true;
    case '-':
      acts.zoom(0.5);
      return true;
    case 'n':
      acts.next(1);
      return true;
    case 'p':
      acts.next(-1);
      return true;
  }
  if (!inPicture) return false;
  switch (key) {
    case 'ArrowLeft':
    case 'ArrowRight': {
      const way = key === 'ArrowLeft' ? -1 : 1;
      if (shiftKey) acts.move(0.25 * way);
      else acts.line(way, 0);
      return true;
    }
    case 'ArrowUp':
    case 'ArrowDown':
      acts.line(0, key === 'ArrowUp' ? -1 : 1);
      return true;
    case 'PageUp':
      acts.move(-0.5);
      return true;
    case 'PageDown':
      acts.move(0.5);
      return true;
    case 'Home':
      acts.ends(-1);
      return true;
    case 'End':
      acts.ends(1);
      return true;
    case 'Enter':
      acts.why();
      return true;
    default:
      return false;
  }
}
