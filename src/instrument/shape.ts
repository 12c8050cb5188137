import type { Path } from './document.js';

/** The parts of JSON Schema that ours use. */
export interface Shape {
  readonly type?: string;
  readonly title?: string;
  readonly description?: string;
  readonly default?: unknown;
  readonly examples?: readonly unknown[];
  readonly enum?: readonly (string | number)[];
  readonly minimum?: number;
  readonly maximum?: number;
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly required?: readonly string[];
  readonly items?: Shape;
  readonly anyOf?: readonly Shape[];
}

/** The shape that the value at `path` must have, with its choices; undefined where no key leads there. */
export function shapeAt(shape: Shape, root: unknown, path: Path): Shape | undefined {
  let node: Shape | undefined = shape;
  let value = root;
  for (const step of path) {
    const whole: Shape | undefined = node && meant(node, value);
    node = typeof step === 'number' ? whole?.items : own(whole?.properties, step);
    value = child(value, step);
  }
  return node;
}

export function valueAt(root: unknown, path: Path): unknown {
  return path.reduce<unknown>(child, root);
}

/** What each choice is known by: its first required key, such as `osc` of `{ osc: 9000 }`. */
export function choiceKeys(shape: Shape): readonly string[] {
  return (shape.anyOf ?? []).flatMap((choice) => choice.required?.slice(0, 1) ?? []);
}

/** Which of the choices the value shows was meant, or -1: the one whose key it has, or whose type it is. */
export function choiceOf(shape: Shape, value: unknown): number {
  return (shape.anyOf ?? []).findIndex((choice) => {
    const [key] = choice.required ?? [];
    if (choice.type === 'object') {
      return typeof value === 'object' && value !== null && (key === undefined || key in value);
    }
    return (
      choice.type === typeOf(value) || (choice.type === 'integer' && typeOf(value) === 'number')
    );
  });
}

/** The shape itself, or of its choices the one that was meant: as the value shows, or the only one. */
export function meant(shape: Shape, value: unknown): Shape {
  const some = shape.anyOf?.filter(({ type }) => type !== 'null') ?? [];
  const choice = shape.anyOf?.[choiceOf(shape, value)] ?? (some.length === 1 ? some[0] : undefined);
  if (choice === undefined) return shape;
  const description = choice.description ?? shape.description;
  return description === undefined ? choice : { ...choice, description };
}

function typeOf(value: unknown): string {
  if (value === null) return 'null';
  return Array.isArray(value) ? 'array' : typeof value;
}

function own<Value>(record: Readonly<Record<string, Value>> | undefined, key: string | number) {
  return record !== undefined && Object.hasOwn(record, key) ? record[key] : undefined;
}

function child(value: unknown, step: string | number): unknown {
  if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined;
  return (value as Record<string | number, unknown>)[step];
}
