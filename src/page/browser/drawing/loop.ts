/** Paints what is in sight; told the time in ms. */
export type Paint = (now: number) => void;

/** More than so many in sight take turns, half of them in each frame: levels come no more often than that. */
const AT_ONCE = 24;

const paints = new Map<Element, { readonly paint: Paint; readonly turn: number }>();
const seen = new Set<Element>();
let watching: IntersectionObserver | null = null;
let asked = 0;
let turn = 0;

/**
 * Has something painted in each frame in which it is in sight, by the one loop of the page.
 *
 * @param seat the id of its seat: every second one has the other turn
 * @returns ends it
 */
export function onFrame(element: Element, seat: number, paint: Paint): () => void {
  watching ??= new IntersectionObserver(look, { rootMargin: '64px' });
  paints.set(element, { paint, turn: seat % 2 });
  watching.observe(element);
  return () => {
    paints.delete(element);
    seen.delete(element);
    watching?.unobserve(element);
  };
}

function look(entries: readonly IntersectionObserverEntry[]): void {
  for (const { target, isIntersecting } of entries) {
    if (isIntersecting && paints.has(target)) seen.add(target);
    else seen.delete(target);
  }
  if (asked === 0 && seen.size > 0) asked = requestAnimationFrame(frame);
}

function frame(now: number): void {
  asked = seen.size > 0 ? requestAnimationFrame(frame) : 0;
  turn = 1 - turn;
  const all = seen.size <= AT_ONCE;
  for (const element of seen) {
    const one = paints.get(element);
    if (one && (all || one.turn === turn)) one.paint(now);
  }
}
