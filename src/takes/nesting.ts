/** Deeper than anything in a take; far less than what overflows a reader that calls itself. */
const DEEPEST = 64;

const QUOTE = 34;
const BACKSLASH = 92;
const OPENING = [91, 123];
const CLOSING = [93, 125];

/**
 * Whether JSON nests lists and objects too deep. Asked before it is parsed: what is parsed is later
 * written and checked by functions that call themselves, and their stack would overflow.
 *
 * @param text may be no JSON at all
 */
export function nestsTooDeep(text: string): boolean {
  let depth = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (quoted) {
      if (code === BACKSLASH) i += 1;
      else if (code === QUOTE) quoted = false;
    } else if (code === QUOTE) quoted = true;
    else if (OPENING.includes(code)) {
      depth += 1;
      if (depth > DEEPEST) return true;
    } else if (CLOSING.includes(code)) depth -= 1;
  }
  return false;
}
