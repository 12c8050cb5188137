import { parseArgs } from 'node:util';
import { check } from './check.js';

const help = `Holds the whole service to its promises: npx tsx tests/fuzz/room/main.ts [OPTIONS]

  --seeds N     how many seeds, from the first on; every third one has stages that throw (10)
  --first N     the first seed (1)
  --events N    how many moves a run (100000)
  --as-is       show a script that fails as it is, instead of looking for the shortest that does`;

const { values } = parseArgs({
  options: {
    seeds: { type: 'string', default: '10' },
    first: { type: 'string', default: '1' },
    events: { type: 'string', default: '100000' },
    'as-is': { type: 'boolean', default: false },
    help: { type: 'boolean', default: false },
  },
});

if (values.help) console.log(help);
else {
  const first = Number(values.first);
  for (let seed = first; seed < first + Number(values.seeds); seed++) {
    const started = Date.now();
    const { report, ran } = await check(seed, Number(values.events), !values['as-is']);
    if (report !== null) {
      console.error(report);
      process.exitCode = 1;
    }
    const seconds = ((Date.now() - started) / 1_000).toFixed(1);
    const notes = [...ran.notes].map(([how, count]) => `${String(count)} ${how}`).join(', ');
    console.log(`seed ${String(seed)}: ${String(ran.events)} events; ${notes}; ${seconds} s`);
  }
}
