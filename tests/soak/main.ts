import { parseArgs } from 'node:util';
import { soakReal } from './real.js';
import { soak, type Look } from './virtual.js';

const help = `Has a class play for hours: npm run soak -- [virtual|real] [OPTIONS]

virtual: on virtual time, as fast as the computer can.
  --hours N     so long (24)
  --rate N      scans a second of each board: 25, 50, 125 or 250 (25)
  --seats N     how many boards (32)

real: a real program, boards that send by UDP, a receiver that counts, and pages in a browser, in real time; the
program must be built.
  --minutes N   so long (20)
  --rate N      scans a second of each board (50)
  --seats N     how many boards (32)
  --pages N     how many pages are open (2)
  --every N     how often something is looked at and a file saved, in seconds (60)`;

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    hours: { type: 'string', default: '24' },
    rate: { type: 'string' },
    minutes: { type: 'string', default: '20' },
    pages: { type: 'string', default: '2' },
    every: { type: 'string', default: '60' },
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
    hours: Number(values.hours),
    rate: Number(values.rate ?? 25),
    seats: Number(values.seats),
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

async function real(): Promise<boolean> {
  console.log('minutes   RSS MB  heap MB handles threads   files    plucks       ons slowest ms');
  const { plucks, ons, offs, lost, extra, delays, stops, saves, seatings, broken } = await soakReal(
    {
      minutes: Number(values.minutes),
      seats: Number(values.seats),
      rate: Number(values.rate ?? 50),
      pages: Number(values.pages),
      every: Number(values.every),
      look: ({ minutes, rss, heap, handles, threads, files, plucks: so, ons: notes, slowest }) => {
        const cells = [cell(minutes, 1, 7), cell(rss, 1, 9), cell(heap, 1, 9)];
        const counts = [handles, threads, files].map((one) => cell(one, 0, 8));
        console.log([...cells, ...counts, cell(so), cell(notes), cell(slowest, 1, 11)].join(''));
      },
      say: (words) => {
        console.log(words);
      },
    },
  );
  const at = (share: number): string =>
    (delays[Math.floor(share * (delays.length - 1))] ?? NaN).toFixed(1);
  console.log(
    `${String(plucks)} plucks, ${String(ons)} notes begun, ${String(offs)} ended; ${String(lost)} lost, ${String(extra)} without a pluck`,
  );
  console.log(
    `from a pluck's first packet to its note: ${at(0.5)} ms at the median, ${at(0.99)} at 99 %, ${at(1)} at most`,
  );
  console.log(
    `${String(stops)} boards stopped and came back, ${String(saves)} files saved, a seat came or went ${String(seatings)} times`,
  );
  for (const one of broken) console.error(`BROKEN ${one}`);
  return broken.length === 0;
}

const WAYS: Readonly<Record<string, () => Promise<boolean>>> = { virtual, real };
const way = WAYS[positionals[0] ?? 'virtual'];
if (values.help || !way) {
  console.log(help);
  process.exitCode = values.help ? 0 : 2;
} else if (!(await way())) process.exitCode = 1;
