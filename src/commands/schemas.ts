import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { jsonSchemas } from '../instrument/json-schemas.js';

/* Run as `node dist/commands/schemas.js DIR`: writes DIR/NAME.schema.json for every kind of file. */

const [, , folder] = process.argv;
if (folder === undefined) {
  process.stderr.write('Usage: node dist/commands/schemas.js DIR\n');
  process.exitCode = 2;
} else {
  await mkdir(folder, { recursive: true });
  for (const [name, schema] of Object.entries(jsonSchemas())) {
    const path = join(folder, `${name}.schema.json`);
    await writeFile(path, `${JSON.stringify(schema, null, 2)}\n`);
    process.stdout.write(`${path}\n`);
  }
}
