import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { OwnCode } from '../../instrument/types.js';
import { SHIPPED } from '../files/find.js';
import { buildLogic } from './build.js';

let shipped: Promise<ReadonlySet<string>> | null = null;

/**
 * Whether a module is one that comes with this program, byte for byte as it is built here: whoever runs
 * pluckwork runs that anyway. One of an older pluckwork is not known for ours.
 */
export async function isShipped({ code }: OwnCode): Promise<boolean> {
  shipped ??= builtOnes();
  return code !== null && (await shipped).has(code);
}

async function builtOnes(): Promise<ReadonlySet<string>> {
  const folder = join(SHIPPED, 'logic');
  const files = (await readdir(folder)).filter((name) => name.endsWith('.ts'));
  const built = await Promise.all(files.map((name) => buildLogic(join(folder, name))));
  return new Set(built.map(({ code }) => code));
}
