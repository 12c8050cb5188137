/*
 * Text that others wrote (names from a network, in files and on pages; what a module prints) may hold what a
 * terminal obeys, what turns the order of letters round, or what nobody can see. Whatever leaves for a
 * terminal goes through here.
 */

/**
 * Control characters, C1 among them (a terminal takes U+009B for ESC [), half surrogates, line separators, and all
 * that is invisible by Unicode (Default_Ignorable_Code_Point): bidi marks, overrides and isolates, zero-width
 * characters, tags. Kept are line feed and tab; what joins emoji and the letters of many scripts (ZWNJ, ZWJ
 * and variation selectors after such a one); the tags of a flag.
 */
const KEPT = [
  String.raw`[\n\t]`,
  String.raw`(?<=[\p{Extended_Pictographic}\p{Emoji_Modifier}\p{M}\p{L}\ufe0f])(?<!\p{Script=Latin})[\u200c\u200d]`,
  String.raw`(?<=[\p{Extended_Pictographic}\p{L}])(?<!\p{Script=Latin})[\ufe00-\ufe0f]`,
  String.raw`(?<=[0-9#*])\ufe0f(?=\u20e3)`,
  String.raw`(?<=\u{1f3f4}[\u{e0020}-\u{e007e}]{0,7})[\u{e0020}-\u{e007f}]`,
];
const SUSPECT = String.raw`[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}\ufff9-\ufffb]`;
const HIDDEN = new RegExp(`(?!${KEPT.join('|')})${SUSPECT}`, 'gu');

/** Text fit for a terminal: what is hidden or obeyed is shown as "?". Line feeds and tabs stay. */
export function printable(text: string): string {
  return text.replace(HIDDEN, '?');
}

/** A name or a short text that others wrote, to be put into a sentence: on one line, and not endless. */
export function clean(text: string): string {
  const plain = printable(text.slice(0, 2_000)).replace(/[\n\t]/g, '?');
  return plain.length > 160 ? `${plain.slice(0, 160)}…` : plain;
}

/** The same of JSON, without loss: such characters are only in its strings, and are escaped there. */
export function printableJson(json: string): string {
  return json.replace(HIDDEN, (hidden) =>
    Array.from({ length: hidden.length }, (_, i) => {
      const unit = hidden.charCodeAt(i).toString(16).padStart(4, '0');
      return `\\u${unit}`;
    }).join(''),
  );
}
