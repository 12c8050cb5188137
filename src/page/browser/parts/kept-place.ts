import { useLayoutEffect, useRef } from 'preact/hooks';

/** Where the keyboard is in a list. */
interface Place {
  readonly key: number;
  readonly element: HTMLElement;
}

/**
 * Keeps a keyboard's place in a list of which items come, go and move: where the item with the focus goes
 * away, the one in its place gets it, and where none is left, the heading does.
 *
 * @param keys of the items, in their order
 */
export function useKeptPlace(keys: readonly number[]) {
  const list = useRef<HTMLUListElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const place = useRef<Place | null>(null);
  const shown = useRef(keys);
  useLayoutEffect(() => {
    const element = list.current;
    if (!element) return;
    const enter = ({ target }: FocusEvent): void => {
      const at = [...element.children].findIndex((item) => item.contains(target as Node));
      const key = shown.current[at];
      place.current = key === undefined ? null : { key, element: target as HTMLElement };
    };
    const leave = ({ relatedTarget }: FocusEvent): void => {
      // Without a next element, what had the focus may just have been taken away.
      if (relatedTarget instanceof Node && !element.contains(relatedTarget)) place.current = null;
    };
    const elsewhere = ({ target }: Event): void => {
      if (target instanceof Node && !element.contains(target)) place.current = null;
    };
    element.addEventListener('focusin', enter);
    element.addEventListener('focusout', leave);
    document.addEventListener('pointerdown', elsewhere);
    return () => {
      element.removeEventListener('focusin', enter);
      element.removeEventListener('focusout', leave);
      document.removeEventListener('pointerdown', elsewhere);
    };
  }, []);
  useLayoutEffect(() => {
    const before = shown.current;
    shown.current = keys;
    const { current: was } = place;
    if (!was || (document.activeElement !== document.body && document.activeElement)) return;
    // An item that is moved loses the focus, too.
    if (was.element.isConnected) was.element.focus();
    else {
      const next = nextOf(was.key, before, keys);
      const item = next === null ? null : list.current?.children[keys.indexOf(next)];
      (item?.querySelector<HTMLElement>('a, button, input, summary') ?? heading.current)?.focus();
    }
  }, [keys.join()]);
  return { list, heading };
}

/** The item itself where it is still there, else the next one that is, else the one before; null: none is. */
export function nextOf(
  key: number,
  before: readonly number[],
  now: readonly number[],
): number | null {
  const at = before.indexOf(key);
  const still = (one: number): boolean => now.includes(one);
  return before.slice(at).find(still) ?? before.slice(0, at).findLast(still) ?? now[0] ?? null;
}
