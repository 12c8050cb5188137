import { readFileSync, writeFileSync } from 'node:fs';
import { statesSection, withSection } from './state-docs.js';
import { stateTables } from './state-tables.js';

/* Run as `npx tsx tests/docs/write.ts`: makes the states section of DEVELOPERS.md again. */

const path = new URL('../../DEVELOPERS.md', import.meta.url);
const tables = await stateTables();
writeFileSync(path, withSection(readFileSync(path, 'utf8'), await statesSection(tables)));
process.stdout.write(`DEVELOPERS.md: ${tables.map(({ title }) => title).join('; ')}\n`);
