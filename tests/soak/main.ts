import { parseArgs } from 'node:util';
import { soak, type Look } from './virtual.js';

const help = `Has a class play for hours: npm run soak -- [virtual|real] [OPTIONS]

virtual: on virtual time, as fast as the computer can.
  --hours N     so long (24)
  --rate N      scans a second of each board: 25, 50, 125 or 250 (25)
  --seats N     how many boards (32)`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    hours: { type: 'string', default: '24' },
    rate: { type: 'string', default: '25' },
    seats: { type: 'string', default: '32' },
    help: { type: 'boolean', default: false },
  },
});

const cell = (value: number, digits = 0, width = 10): string =>
  value.toFixed(digits).padStart(width);

function row({ hours, scans, notes, heap, rss, handles, timers, threads }: Look): string {
  const cells = [cell(hours, 2, 7), cell(scans, 0, 12), cell(notes), cell(heap, 1), cell(rss, 1)];
  return [...cells, ...[handles, timers, threads].map((one) => cell(one, 0, 8))].join('');
}

async function virtual(): Promise<boolean> {
  const started = Date.now();
  console.log('  hours       scans     notes   heap MB    RSS MB handles  timers threads');
  const { scans, notes, phrase, broken } = await soak({
    ...{ hours: Number(values.hours), rate: Number(values.rate), seats: Number(values.seats) },
    look: (look) => {
      console.log(row(look));
    },
  });
  const minutes = (Date.now() - started) / 60_000;
  console.log(`${String(scans)} scans and ${String(notes)} notes in ${minutes.toFixed(1)} minutes`);
  const { first, last, same, creep, spread } = phrase;
  console.log(
    `each piece: ${String(first)} notes at the start, ${String(last)} at the end, ${String(same)} the same; ` +
      `velocities ${creep.toFixed(2)} higher, ${spread.toFixed(2)} apart`,
  );
  for (const one of broken) console.error(`BROKEN ${one}`);
  return broken.length === 0;
}

const [what = 'virtual'] = positionals;
if (values.help || what !== 'virtual') {
  console.log(help);
  process.exitCode = values.help ? 0 : 2;
} else if (!(await virtual())) process.exitCode = 1;
