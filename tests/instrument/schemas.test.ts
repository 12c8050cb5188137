import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { jsonSchemas } from '../../src/instrument/json-schemas.js';
import { PITCH } from '../../src/instrument/pitch.js';
import type { Shape } from '../../src/instrument/shape.js';
import { parseDuration } from '../../src/time/micros.js';

const folder = new URL('../../config/schemas/', import.meta.url);
const schemas = jsonSchemas() as Record<string, Shape & { pattern?: string }>;

describe('JSON Schemas', () => {
  it.each(Object.keys(schemas))('%s is committed as it is now (if not: npm run docs)', (name) => {
    const text = readFileSync(new URL(`${name}.schema.json`, folder), 'utf8');
    expect(JSON.parse(text)).toEqual(schemas[name]);
  });

  it('has no file for a kind that is gone', () => {
    const files = Object.keys(schemas).map((name) => `${name}.schema.json`);
    expect(readdirSync(folder).sort()).toEqual(files.sort());
  });

  it.each(Object.entries(schemas))('%s says a sentence about every key', (name, schema) => {
    const silent: string[] = [];
    let keys = 0;
    const walk = (shape: Shape, path: string): void => {
      for (const [key, value] of Object.entries(shape.properties ?? {})) {
        keys++;
        if (!/^[A-Z].*\.$/.test(value.description ?? '')) silent.push(`${path}.${key}`);
        walk(value, `${path}.${key}`);
      }
      if (shape.items) walk(shape.items, `${path}[]`);
      for (const choice of shape.anyOf ?? []) walk(choice, path);
    };
    walk(schema, name);
    expect(silent).toEqual([]);
    expect(keys).toBeGreaterThan(2);
  });

  it('tells the four kinds of instruments apart by their kind', () => {
    const kinds = schemas['instrument']?.anyOf?.map(({ properties }) => properties?.['kind']?.enum);
    expect(kinds).toEqual([['strings'], ['keys'], ['holes'], ['hits']]);
  });

  it('writes durations and pitches as text with a pattern', () => {
    const lift = schemas['rules']?.properties?.['touch']?.properties?.['lift'] as {
      type: string;
      pattern: string;
      default: string;
    };
    expect(lift).toMatchObject({ type: 'string', default: '24ms' });
    const pattern = new RegExp(lift.pattern);
    for (const text of ['4ms', '0.5s', '12 ms', '2min', '7us', '4', '4m', 'ms', '-1s', '1,5s']) {
      expect(pattern.test(text), text).toBe(parseDuration(text) !== undefined);
    }
    const kind = schemas['instrument']?.anyOf?.[0];
    const open = kind?.properties?.['strings']?.items?.properties?.['open'];
    expect(open).toMatchObject({ type: 'string', pattern: PITCH.source });
  });
});
