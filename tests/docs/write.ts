import { readFileSync, writeFileSync } from 'node:fs';
import { jsonSchemas } from '../../src/instrument/json-schemas.js';
import { RULE_FILES } from './rule-files.js';
import { statesSection, withSection } from './state-docs.js';
import { stateTables } from './state-tables.js';

/* Run as `npx tsx tests/docs/write.ts`: makes again docs/states.md, the schemas, and the
 * files that say what the rules are. */

const path = new URL('../../docs/states.md', import.meta.url);
const tables = await stateTables();
writeFileSync(path, withSection(readFileSync(path, 'utf8'), await statesSection(tables)));
process.stdout.write(`docs/states.md: ${tables.map(({ title }) => title).join('; ')}\n`);
for (const [file, text] of Object.entries(RULE_FILES)) {
  writeFileSync(new URL(`../../${file}`, import.meta.url), await text());
  process.stdout.write(`${file}\n`);
}
for (const [name, schema] of Object.entries(jsonSchemas())) {
  const file = `config/schemas/${name}.schema.json`;
  writeFileSync(new URL(`../../${file}`, import.meta.url), `${JSON.stringify(schema, null, 2)}\n`);
  process.stdout.write(`${file}\n`);
}
