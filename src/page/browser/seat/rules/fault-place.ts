/**
 * Which of the controls the service's words about a refused value speak of, by its key; null where
 * they name none and nothing else tells.
 *
 * @param changed the keys that were changed, which are likelier than others
 */
export function faultPlace(
  words: string,
  keys: readonly string[],
  changed: readonly string[],
): string | null {
  const named = keys
    .map((key) => ({ key, at: placeOf(words, key) }))
    .filter(({ at }) => at >= 0)
    // The key that the words begin with is at fault; those behind it are what it is measured by.
    .sort((a, b) => a.at - b.at || b.key.length - a.key.length);
  if (named[0]) return named[0].key;
  return changed.length === 1 ? changed[0]! : null;
}

/** Where a key stands on its own in the words: `touch.on` is not in `touch.only`, nor `strings.brush` in `strings.brush-share`. */
function placeOf(words: string, key: string): number {
  for (let at = words.indexOf(key); at >= 0; at = words.indexOf(key, at + 1)) {
    const before = words[at - 1] ?? '';
    const after = words.slice(at + key.length);
    if (!/[\w.-]/.test(before) && !/^[\w-]|^\.\w/.test(after)) return at;
  }
  return -1;
}
