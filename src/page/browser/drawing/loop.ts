/** Paints what is in sight, once a frame; told the time in ms. */
export type Paint = (now: number) => void;

const seen = new Set<Element>();
const paints = new Map<Element, Paint>();
let watching: IntersectionObserver | null = null;
let asked = 0;

/**
 * Has something painted in each frame in which it is in sight, by the one loop of the page.
 *
 * @returns ends it
 */
export function onFrame(element: Element, paint: Paint): () => void {
  watching ??= new IntersectionObserver(look, { rootMargin: '64px' });
  paints.set(element, paint);
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
  for (const element of seen) paints.get(element)?.(now);
}
