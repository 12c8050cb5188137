/** The page's colours, as the style sheet has them now. */
export interface Colours {
  readonly card: string;
  readonly raised: string;
  readonly sunk: string;
  readonly ink: string;
  readonly soft: string;
  readonly copper: string;
  readonly strong: string;
  readonly pale: string;
  readonly line: string;
  readonly level: string;
  readonly bad: string;
  readonly focus: string;
}

const NAMES: Readonly<Record<keyof Colours, string>> = {
  ...{ card: 'card', raised: 'card-raised', sunk: 'card-sunk', ink: 'ink', soft: 'ink-soft' },
  ...{ copper: 'copper', strong: 'copper-strong', pale: 'copper-pale', line: 'line' },
  ...{ level: 'good', bad: 'bad', focus: 'focus' },
};

export function coloursOf(element: Element): Colours {
  const style = getComputedStyle(element);
  const found = Object.entries(NAMES).map(([key, name]) => [
    key,
    style.getPropertyValue(`--${name}`).trim(),
  ]);
  return Object.fromEntries(found) as unknown as Colours;
}
