import { useEffect, useRef } from 'preact/hooks';

/**
 * Keeps a keyboard's place while a section changes what it holds: where the focus was in it, it goes
 * to the section's heading; where it was elsewhere, it stays there.
 *
 * @param stage what the section holds now
 */
export function useKeptFocus(stage: string) {
  const section = useRef<HTMLElement>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const inside = useRef(false);
  const before = useRef(stage);
  useEffect(() => {
    const element = section.current;
    if (!element) return;
    const enter = (): void => {
      inside.current = true;
    };
    const leave = (event: FocusEvent): void => {
      // Without a next element, what had the focus may just have been taken away.
      if (event.relatedTarget instanceof Node && !element.contains(event.relatedTarget)) {
        inside.current = false;
      }
    };
    element.addEventListener('focusin', enter);
    element.addEventListener('focusout', leave);
    return () => {
      element.removeEventListener('focusin', enter);
      element.removeEventListener('focusout', leave);
    };
  }, []);
  useEffect(() => {
    if (before.current === stage) return;
    before.current = stage;
    if (inside.current) heading.current?.focus();
  }, [stage]);
  return { section, heading };
}
