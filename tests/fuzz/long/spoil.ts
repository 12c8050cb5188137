type Random = () => number;

/** What people, editors and enemies put into texts: signs of YAML and JSON, odd numbers, odd words. */
const PIECES = [
  ...[
    '{',
    '}',
    '[',
    ']',
    ': ',
    '- ',
    ',',
    '"',
    "'",
    '#',
    '&a ',
    '*a',
    '<<: *a',
    '!!binary ',
    '!x ',
    '|',
    '>',
  ],
  ...[
    '---\n',
    '...\n',
    '%YAML 1.1\n',
    '? ',
    '\t',
    '  ',
    '\n',
    '\r\n',
    '\u0000',
    '\ufeff',
    '\u2028',
    '\ud800',
  ],
  ...[
    '“',
    '”',
    '’',
    '\u001b[2J',
    '__proto__',
    'constructor',
    'null',
    '~',
    'true',
    'yes',
    'off',
    '.nan',
    '.inf',
  ],
  ...[
    '0',
    '-1',
    '1e999',
    '-1e308',
    '9007199254740993',
    '0x7fffffff',
    '0.1',
    '4ms',
    '4 ms',
    '-4ms',
    '999999min',
  ],
  ...[
    'C4',
    'C99',
    'H',
    '../../etc/passwd',
    '/dev/zero',
    'a: a: a',
    '"take":1',
    '[[[[',
    ']]]]',
    '{"a":',
    '[5,',
  ],
];

/** Values of every kind, for a place in data where another one stood. */
const VALUES: readonly unknown[] = [
  ...[
    null,
    true,
    '',
    'x',
    0,
    -1,
    1.5,
    1e300,
    2 ** 31,
    2 ** 53,
    [],
    {},
    [[]],
    [null],
    { a: [] },
    '4ms',
    'C4',
  ],
  ...[
    '\u001b[31m',
    'a'.repeat(5_000),
    Array.from({ length: 300 }, (_, i) => i),
    { __proto__: null, x: 1 },
  ],
];

const pick = <T>(random: Random, from: readonly T[]): T =>
  from[Math.floor(random() * from.length)]!;
const below = (random: Random, most: number): number => Math.floor(random() * most);

/** A text with one to four things wrong with it. */
export function spoilText(text: string, others: readonly string[], random: Random): string {
  let out = text;
  for (let n = 1 + below(random, 4); n > 0; n--) out = spoilOnce(out, others, random);
  return out;
}

function spoilOnce(text: string, others: readonly string[], random: Random): string {
  const at = below(random, text.length + 1);
  const to = Math.min(text.length, at + 1 + below(random, random() < 0.2 ? 400 : 12));
  const [before, piece, after] = [text.slice(0, at), text.slice(at, to), text.slice(to)];
  switch (below(random, 12)) {
    case 0:
      return before + after;
    case 1:
      return before + piece + piece + after;
    case 2:
      return before;
    case 3:
    case 4:
      return before + pick(random, PIECES) + piece + after;
    case 5:
      return before + pick(random, PIECES) + after;
    case 6:
      return before + String.fromCharCode(below(random, random() < 0.5 ? 128 : 65_536)) + after;
    case 7:
      // The same again and again, mostly a few times and sometimes without end.
      return (
        before +
        pick(random, PIECES).repeat(below(random, random() < 0.02 ? 30_000 : 60)) +
        piece +
        after
      );
    case 8: {
      const other = pick(random, others);
      return before + other.slice(below(random, other.length));
    }
    case 9:
      return spoilLines(text, random);
    case 10:
      return spoilNumber(text, random);
    default:
      return spoilData(text, random);
  }
}

/** Lines in another order, doubled, left out, or further in. */
function spoilLines(text: string, random: Random): string {
  const lines = text.split('\n');
  const [a, b] = [below(random, lines.length), below(random, lines.length)];
  const what = below(random, 4);
  if (what === 0) [lines[a], lines[b]] = [lines[b]!, lines[a]!];
  else if (what === 1) lines.splice(a, 0, lines[b]!);
  else if (what === 2) lines.splice(a, 1 + below(random, 3));
  else lines[a] = ' '.repeat(1 + below(random, 3)) + lines[a]!;
  return lines.join('\n');
}

function spoilNumber(text: string, random: Random): string {
  const numbers = [...text.matchAll(/-?\d+(\.\d+)?/g)];
  if (numbers.length === 0) return text;
  const { 0: found, index } = pick(random, numbers);
  const value = pick(random, [
    '-1',
    '0',
    '1e9',
    '99999999999999999999',
    `${found}.5`,
    `-${found}`,
    'x',
  ]);
  return text.slice(0, index) + value + text.slice(index + found.length);
}

/** Where a line, or all of the text, is JSON: one value in it is another. */
function spoilData(text: string, random: Random): string {
  const lines = text.split('\n');
  const at = below(random, lines.length);
  const whole = spoilJson(text, random);
  if (whole !== null) return whole;
  lines[at] = spoilJson(lines[at]!, random) ?? lines[at]!;
  return lines.join('\n');
}

function spoilJson(text: string, random: Random): string | null {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return null;
  }
  const places: [holder: Record<string, unknown>, key: string][] = [];
  const walk = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    const holder = value as Record<string, unknown>;
    for (const key of Object.keys(holder)) {
      places.push([holder, key]);
      walk(holder[key]);
    }
  };
  walk(data);
  if (places.length === 0) return JSON.stringify(pick(random, VALUES));
  const [holder, key] = pick(random, places);
  if (random() < 0.2) Reflect.deleteProperty(holder, key);
  else if (random() < 0.2 && !Array.isArray(holder)) holder[pick(random, PIECES)] = holder[key];
  else holder[key] = pick(random, VALUES);
  return JSON.stringify(data);
}

/** Bytes with some of them changed, left out, or cut off. */
export function spoilBytes(bytes: Uint8Array, random: Random): Uint8Array {
  if (random() < 0.2) return bytes.slice(0, below(random, bytes.length));
  const out = [...bytes];
  for (let n = 1 + below(random, 6); n > 0; n--) {
    out.splice(
      below(random, out.length + 1),
      below(random, 3),
      ...(random() < 0.5 ? [below(random, 256)] : []),
    );
  }
  return Uint8Array.from(out);
}
