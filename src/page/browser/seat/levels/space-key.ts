/** What does something of its own with the space bar, or takes text. */
const OWN =
  'a[href],button,input,select,textarea,summary,[contenteditable],[role="button"],[role="application"],[role="slider"],[tabindex="0"]';

/** Whether a key press is the space bar alone, and nothing that has the focus wants it. */
export function isForPage(event: KeyboardEvent): boolean {
  if (event.key !== ' ' || event.defaultPrevented || event.repeat) return false;
  if (event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return false;
  return !(event.target instanceof Element) || event.target.closest(OWN) === null;
}
