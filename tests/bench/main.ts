import { handPace, type HandLatencies } from './hand-pace.js';
import { oscRoundTrip, type Latencies } from './osc-round-trip.js';
import { pageLatency } from './page-latency.js';
import { pageTapCost } from './page-tap.js';
import { rerunSpeed } from './rerun-speed.js';

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
const micros = (value: number): string => `${value.toFixed(0).padStart(5)} µs`;
const line = (name: string, { median, p99, count }: Latencies): string =>
  `  ${name.padEnd(19)} median ${micros(median)}   99 % ${micros(p99)}   (${String(count)} plucks)`;

say(
  'at the pace of a hand: 250 scans a second with noise, five plucks a second, OSC in to OSC out, beside a bare forwarder in the same run:',
);
const hand = await handPace();
const handLine = (name: string, { largest, later, ...rest }: HandLatencies): string =>
  `${line(name, rest)}   largest ${micros(largest)}, ${String(later)} with a later scan`;
say(handLine('bare forwarder', hand.bare));
say(handLine('pluckwork', hand.pluckwork));
// `npm run bench -- hand` is this alone.
if (process.argv[2] === 'hand') process.exit(0);

say('');
say(
  'OSC in to OSC out over loopback, rules instant, beside a bare Node forwarder in the same run:',
);
const { bare, pluckwork } = await oscRoundTrip();
say(line('bare forwarder', bare));
say(line('pluckwork', pluckwork));
say(
  `  ratio               median ${(pluckwork.median / bare.median).toFixed(2)} (aim 1.3)   99 % ${(pluckwork.p99 / bare.p99).toFixed(2)} (aim 1.5)`,
);

say('');
say('rerun of a three-minute take, 20 pads at 250 scans a second, beside parsing its lines alone:');
const speed = await rerunSpeed();
const times = (ms: number): string =>
  `${((speed.seconds * 1_000) / ms).toFixed(0)} times real time`;
say(`  JSON.parse only ${speed.bare.toFixed(0)} ms`);
say(`  rerun, first    ${speed.first.toFixed(0)} ms, ${times(speed.first)} (aim 1000)`);
say(
  `  rerun, best     ${speed.best.toFixed(0)} ms, ${times(speed.best)}, ${String(speed.notes)} notes`,
);

say('');
say('the way of one scan of 20 pads, without a page, with one nobody looks at, and looked at:');
const { bare: alone, idle, looking } = await pageTapCost();
const beside = (value: number): string => `${value.toFixed(2)} µs, ${(value / alone).toFixed(2)}`;
say(`  without a page  ${alone.toFixed(2)} µs`);
say(`  nobody looks    ${beside(idle)} (aim 1.05)`);
say(`  looked at       ${beside(looking)} (aim 1.25)`);

say('');
say(
  'OSC in to OSC out with no page open and with 30 that read all they are sent, and a bare forwarder beside a bare page server, in turn in the same run:',
);
const pages = await pageLatency();
for (const [name, { alone, watched, bytesPerSecond }] of Object.entries(pages)) {
  say(line(`${name}, no page`, alone));
  say(line(`${name}, 30 pages`, watched));
  say(
    `  ratio               median ${(watched.median / alone.median).toFixed(2)}   99 % ${(watched.p99 / alone.p99).toFixed(2)}${name === 'bare' ? '' : ' (aim 1.25)'}   ${(bytesPerSecond / 1e3).toFixed(0)} KB/s a page`,
  );
}
