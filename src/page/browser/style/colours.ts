/**
 * The page's colours as the style sheets have them now, for what is painted and not styled.
 *
 * @param names what each is called in the style sheets, without the dashes in front
 */
export function coloursOf<Key extends string>(
  names: Readonly<Record<Key, string>>,
): Readonly<Record<Key, string>> {
  const style = getComputedStyle(document.documentElement);
  const found = Object.entries<string>(names).map(([key, name]) => [
    key,
    style.getPropertyValue(`--${name}`).trim(),
  ]);
  return Object.fromEntries(found) as Record<Key, string>;
}
