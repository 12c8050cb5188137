import { parseArgs } from 'node:util';
import { feedDatagrams } from './datagrams.js';
import type { Feed } from './fed.js';
import { feedFiles } from './files.js';
import { feedMidi } from './midi.js';

const FEEDS: Readonly<Record<string, readonly [feed: Feed, count: number]>> = {
  midi: [feedMidi, 10_000_000],
  datagrams: [feedDatagrams, 5_000_000],
  files: [feedFiles, 1_000_000],
};

const help = `Feeds bad input: npx tsx tests/fuzz/long/main.ts ${Object.keys(FEEDS).join('|')} [OPTIONS]

  --seed N      the first seed (1)
  --seeds N     how many seeds (1)
  --count N     so many bytes, datagrams or files of each (10000000, 5000000, 1000000)`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    seed: { type: 'string', default: '1' },
    seeds: { type: 'string', default: '1' },
    count: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
});

const [name = ''] = positionals;
const chosen = FEEDS[name];
if (values.help || !chosen) {
  console.log(help);
  process.exitCode = values.help ? 0 : 2;
} else {
  const [feed, usual] = chosen;
  const count = Number(values.count ?? usual);
  const first = Number(values.seed);
  for (let seed = first; seed < first + Number(values.seeds); seed++) {
    const started = Date.now();
    const {
      outcomes,
      slowest,
      grown,
      broken,
      count: fed,
    } = await feed(seed, count, (so) => {
      console.error(`  ${String(so)} …`);
    });
    console.log(
      `${name}, seed ${String(seed)}: ${String(fed)} in ${String(Math.round((Date.now() - started) / 1_000))} s; ` +
        `the slowest hundred took ${slowest.ms.toFixed(0)} ms (up to ${slowest.which}); memory grew by ${grown.toFixed(1)} MB`,
    );
    console.log(
      Object.entries(outcomes)
        .map(([what, n]) => `  ${String(n)} ${what}`)
        .join('\n'),
    );
    for (const one of broken) console.error(`BROKEN ${one}`);
    if (broken.length > 0) process.exitCode = 1;
  }
}
