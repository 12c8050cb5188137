import type { Kind } from '../../../instrument/types.js';

/** A box: its upper left corner, and its size. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export type PadRole = 'fret' | 'pluck' | 'key' | 'black-key' | 'hole' | 'mouth' | 'drum';

/** One pad as it lies on the instrument. */
export interface PadShape extends Box {
  readonly pad: number;
  readonly role: PadRole;
  /** Round ones fill their box as an ellipse. */
  readonly round: boolean;
  /** Which string, key or drum pad sounds by it, counted from 0; a pipe has one. */
  readonly place: number;
  /** Counted from 1: the fret of its string, or the hole from the mouth on; else 0. */
  readonly nth: number;
  /** The pitch of its open string, of its key, or the percussion key of its drum; else 0. */
  readonly note: number;
  /** Where a finger or the mouse reaches it: what lies nearest, at least as big as the pad. */
  readonly reach: Box;
}

/** What sounds: where its note is written, and what moves as it sounds. */
export interface PlaceShape {
  /** The line of a string, from the nut to the bridge; null where there is none. */
  readonly line: { readonly x1: number; readonly x2: number; readonly y: number } | null;
  /** Where the sounding note is written, with a bar of its strength below. */
  readonly sign: Box;
}

/**
 * An instrument's own drawing, in a box 1 wide and `height` high; x goes to the right, y down. Pads are in
 * the order in which the instrument is printed.
 */
export interface Drawing {
  readonly kind: Kind;
  readonly height: number;
  /** The card that all is on. */
  readonly body: Box;
  readonly pads: readonly PadShape[];
  readonly places: readonly PlaceShape[];
}

/** The pad under a point, those on top first; null: none. */
export function padAt({ pads }: Drawing, x: number, y: number): PadShape | null {
  const onTop = pads.filter(({ role }) => role === 'black-key');
  const inside = ({ reach }: PadShape): boolean =>
    x >= reach.x && x < reach.x + reach.width && y >= reach.y && y < reach.y + reach.height;
  return onTop.find(inside) ?? pads.find(inside) ?? null;
}

/** How strong a touch is at the rim of a pad, and in its middle. */
const RIM = 0.35;

/**
 * How strong a touch is that tells nothing but its place: 1 in the middle of the pad, less towards its
 * rim. (Our own choice: the one thing that a mouse and every touch screen can tell.)
 *
 * @returns 0.35 to 1
 */
export function strengthAt(
  { x, y, width, height, round }: PadShape,
  px: number,
  py: number,
): number {
  const dx = Math.abs(px - x - width / 2) / (width / 2);
  const dy = Math.abs(py - y - height / 2) / (height / 2);
  const out = Math.min(1, round ? Math.hypot(dx, dy) : Math.max(dx, dy));
  return 1 - (1 - RIM) * out * out;
}

/** The pad that lies next in a direction, for the arrow keys; null: none. */
export function padBeside(
  { pads }: Drawing,
  from: PadShape,
  [dx, dy]: readonly [dx: number, dy: number],
): PadShape | null {
  const middle = (pad: PadShape): readonly [number, number] => [
    pad.x + pad.width / 2,
    pad.y + pad.height / 2,
  ];
  const [fx, fy] = middle(from);
  let best: PadShape | null = null;
  let least = Infinity;
  for (const pad of pads) {
    const [x, y] = middle(pad);
    const along = (x - fx) * dx + (y - fy) * dy;
    const aside = Math.abs((x - fx) * dy) + Math.abs((y - fy) * dx);
    // What lies more aside than ahead is another row's.
    if (along <= 1e-6 || aside > 2 * along) continue;
    const far = along + 2 * aside;
    if (far < least) [best, least] = [pad, far];
  }
  return best;
}
