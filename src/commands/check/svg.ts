/** Text made safe inside of an element or an attribute. */
export function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (char) => `&#${String(char.charCodeAt(0))};`);
}

export type Attributes = Readonly<Record<string, string | number>>;

/** One element; children are markup already, text goes through `escaped`. */
export function element(name: string, attributes: Attributes, ...children: string[]): string {
  const list = Object.entries(attributes).map(
    ([key, value]) => ` ${key}="${escaped(String(value))}"`,
  );
  const open = `<${name}${list.join('')}`;
  return children.length === 0 ? `${open}></${name}>` : `${open}>${children.join('')}</${name}>`;
}

/** Something wide, often a table, that scrolls by itself, by keys too; named for whoever does not see it. */
export function scrolling(name: string, content: string): string {
  const attributes = { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': name };
  return element('div', attributes, content);
}

/** A drawing with a title and a description for whoever does not see it. */
export function drawing(
  id: string,
  [width, height]: readonly [number, number],
  title: string,
  description: string,
  ...children: string[]
): string {
  return element(
    'svg',
    {
      viewBox: `0 0 ${String(width)} ${String(height)}`,
      role: 'img',
      'aria-labelledby': `${id}-title ${id}-desc`,
      class: id.replace(/-?\d+$/, ''),
    },
    element('title', { id: `${id}-title` }, escaped(title)),
    element('desc', { id: `${id}-desc` }, escaped(description)),
    ...children,
  );
}

/** A coordinate: a tenth of a unit is finer than anybody sees. */
export function at(value: number): string {
  return String(Math.round(value * 10) / 10);
}

export function label(x: number, y: number, text: string, attributes: Attributes = {}): string {
  return element('text', { x: at(x), y: at(y), ...attributes }, escaped(text));
}

export function line(x1: number, y1: number, x2: number, y2: number, kind: string): string {
  return element('line', { x1: at(x1), y1: at(y1), x2: at(x2), y2: at(y2), class: kind });
}

export function box(x: number, y: number, width: number, height: number, kind: string): string {
  const size = { width: at(Math.max(0, width)), height: at(Math.max(0, height)) };
  return element('rect', { x: at(x), y: at(y), ...size, class: kind });
}
