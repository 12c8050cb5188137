/** What a person does on a picture with mouse, fingers or wheel. Places are in CSS pixels from its left and top. */
export interface Pointing {
  /** Moved sideways by so many pixels; over 0 is to the right. */
  onDrag(pixels: number): void;
  /** Closer (over 1) or farther around a place. */
  onZoom(factor: number, x: number): void;
  onTap(x: number, y: number): void;
}

interface Place {
  readonly x: number;
  readonly y: number;
}

/** A finger, or a mouse, that moved farther than this does not mean a place. */
const STILL = 6;
/** One notch of most wheels is 100 to 120. */
const NOTCH = 320;

/** Listens until the returned function is called. Up and down is left to the page, to scroll it. */
export function pointing(element: HTMLElement, told: Pointing): () => void {
  const fingers = new Map<number, Place>();
  let began: (Place & { moved: boolean }) | null = null;

  const placeOf = (event: MouseEvent): Place => {
    const { left, top } = element.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  };
  const spread = (): { apart: number; x: number } => {
    const [a, b] = [...fingers.values()] as [Place, Place];
    return { apart: Math.max(20, Math.abs(a.x - b.x)), x: (a.x + b.x) / 2 };
  };

  const down = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    const place = placeOf(event);
    fingers.set(event.pointerId, place);
    began = { ...place, moved: fingers.size > 1 };
    element.setPointerCapture(event.pointerId);
  };
  const move = (event: PointerEvent): void => {
    const before = fingers.get(event.pointerId);
    if (!before || !began) return;
    const place = placeOf(event);
    if (fingers.size === 2) {
      const from = spread();
      fingers.set(event.pointerId, place);
      const to = spread();
      told.onZoom(to.apart / from.apart, to.x);
      told.onDrag(to.x - from.x);
      return;
    }
    if (Math.hypot(place.x - began.x, place.y - began.y) > STILL) began.moved = true;
    if (!began.moved) return;
    fingers.set(event.pointerId, place);
    told.onDrag(place.x - before.x);
  };
  const up = (event: PointerEvent): void => {
    if (!fingers.delete(event.pointerId) || !began) return;
    if (event.type === 'pointerup' && !began.moved) told.onTap(began.x, began.y);
    if (fingers.size === 0) began = null;
  };
  const wheel = (event: WheelEvent): void => {
    const { deltaX, deltaY, ctrlKey, metaKey, shiftKey, deltaMode } = event;
    const lines = deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    if (ctrlKey || metaKey) {
      event.preventDefault();
      told.onZoom(2 ** ((-deltaY * lines) / NOTCH), placeOf(event).x);
      return;
    }
    const across = shiftKey && deltaX === 0 ? deltaY : deltaX;
    if (Math.abs(across) <= Math.abs(shiftKey ? 0 : deltaY)) return;
    event.preventDefault();
    told.onDrag(-across * lines);
  };

  element.addEventListener('pointerdown', down);
  element.addEventListener('pointermove', move);
  element.addEventListener('pointerup', up);
  element.addEventListener('pointercancel', up);
  element.addEventListener('wheel', wheel, { passive: false });
  return () => {
    element.removeEventListener('pointerdown', down);
    element.removeEventListener('pointermove', move);
    element.removeEventListener('pointerup', up);
    element.removeEventListener('pointercancel', up);
    element.removeEventListener('wheel', wheel);
  };
}
