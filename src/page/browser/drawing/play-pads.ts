import type { Holds } from './holds.js';
import { padAt, padBeside, strengthAt, type Drawing, type PadShape } from './shapes.js';

/** How strong the keyboard presses, and with Shift. */
const BY_KEY = 0.7;
const BY_SHIFT = 1;
/** How long a press lasts that comes from a screen reader, which only clicks, in ms. */
const CLICK = 250;

interface PlayPads {
  readonly element: SVGSVGElement;
  readonly drawing: Drawing;
  readonly holds: Holds;
  /** The pad with the keyboard's focus, from now on. */
  readonly onFocus: (pad: number) => void;
}

/**
 * Makes a drawing playable, by fingers, mouse, pen and keyboard, until the returned function is called.
 * Strength is the pressure where the device has it, else where on the pad it is struck.
 */
export function playPads({ element, drawing, holds, onFocus }: PlayPads): () => void {
  const own = new AbortController();
  const listen = <Type extends keyof SVGElementEventMap>(
    type: Type,
    act: (event: SVGElementEventMap[Type]) => void,
  ): void => {
    element.addEventListener(type, act as EventListener, { signal: own.signal });
  };

  const touch = (event: PointerEvent): void => {
    const { left, top, width } = element.getBoundingClientRect();
    const [x, y] = [(event.clientX - left) / width, (event.clientY - top) / width];
    const pad = padAt(drawing, x, y);
    const strength = pad ? (pressureOf(event) ?? strengthAt(pad, x, y)) : 0;
    holds.put(fingerOf(event), pad?.pad ?? null, strength);
  };
  const leave = (event: PointerEvent): void => {
    holds.letGo(fingerOf(event));
    touching.delete(event.pointerId);
  };
  const touching = new Set<number>();

  listen('pointerdown', (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    element.setPointerCapture(event.pointerId);
    touching.add(event.pointerId);
    touch(event);
  });
  listen('pointermove', (event) => {
    if (touching.has(event.pointerId)) touch(event);
  });
  listen('pointerup', leave);
  listen('pointercancel', leave);
  listen('lostpointercapture', leave);
  listen('contextmenu', (event) => {
    event.preventDefault();
  });

  listen('keydown', (event) => {
    const pad = padOf(event.target, drawing);
    if (!pad || event.ctrlKey || event.altKey || event.metaKey) return;
    // It silences the room besides, so that it goes on to whoever listens for that.
    if (event.key === 'Escape') holds.letGoAll();
    const strength = event.shiftKey ? BY_SHIFT : BY_KEY;
    const to = beside(event.key, drawing, pad);
    if (event.key === ' ') {
      if (!event.repeat) holds.put('key', pad.pad, strength);
    } else if (event.key === 'Enter') {
      if (!event.repeat) latch(holds, pad.pad, strength);
    } else if (to) {
      onFocus(to.pad);
    } else if (to === undefined) {
      return;
    }
    event.preventDefault();
  });
  listen('keyup', (event) => {
    if (event.key === ' ') holds.letGo('key');
  });
  listen('focusout', () => {
    holds.letGo('key');
  });
  listen('click', (event) => {
    const pad = padOf(event.target, drawing);
    // A real click has been played by its pointer already; a screen reader's has none.
    if (!pad || event.detail !== 0) return;
    if (pad.role === 'fret' || pad.role === 'hole') {
      latch(holds, pad.pad, BY_KEY);
      return;
    }
    holds.put('click', pad.pad, BY_KEY);
    setTimeout(() => {
      holds.letGo('click');
    }, CLICK);
  });

  const gone = (): void => {
    touching.clear();
    holds.letGoAll();
  };
  addEventListener('blur', gone, { signal: own.signal });
  addEventListener('pagehide', gone, { signal: own.signal });
  document.addEventListener('visibilitychange', gone, { signal: own.signal });
  return () => {
    own.abort();
    gone();
  };
}

function latch(holds: Holds, pad: number, strength: number): void {
  const holder = `latch ${String(pad)}`;
  holds.put(holder, holds.holds(holder) ? null : pad, strength);
}

function fingerOf({ pointerId }: PointerEvent): string {
  return `finger ${String(pointerId)}`;
}

/** Pressure where the device measures it; what does not gives 0, 0.5 or 1 (Pointer Events, `pressure`). */
function pressureOf({ pointerType, pressure }: PointerEvent): number | null {
  if (pointerType === 'mouse') return null;
  return [0, 0.5, 1].includes(pressure) ? null : pressure;
}

function padOf(target: EventTarget | null, { pads }: Drawing): PadShape | null {
  const element = target instanceof Element ? target.closest('[data-pad]') : null;
  const pad = element?.getAttribute('data-pad');
  return pads.find((one) => String(one.pad) === pad) ?? null;
}

/** Where a key leads; null: nowhere further that way; undefined: it is no key that leads. */
function beside(key: string, drawing: Drawing, from: PadShape): PadShape | null | undefined {
  switch (key) {
    case 'ArrowLeft':
      return padBeside(drawing, from, [-1, 0]);
    case 'ArrowRight':
      return padBeside(drawing, from, [1, 0]);
    case 'ArrowUp':
      return padBeside(drawing, from, [0, -1]);
    case 'ArrowDown':
      return padBeside(drawing, from, [0, 1]);
    case 'Home':
      return drawing.pads[0] ?? null;
    case 'End':
      return drawing.pads.at(-1) ?? null;
    default:
      return undefined;
  }
}
