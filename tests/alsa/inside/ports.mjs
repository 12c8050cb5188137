// Real ALSA ports: pads in, cables pulled, messages out. Writes what happened for ports.test.ts.
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { Output } from '@julusian/midi';
import { liveClock } from '../../../dist/ports/live-clock.js';
import { listMidiPorts, midiEngine, midiSource } from '../../../dist/ports/midi/ports.js';
import { midiWire } from '../../../dist/wire/midi-wires.js';
import {
  aconnectList,
  end,
  joinPorts,
  main,
  portOf,
  report,
  sleep,
  start,
  until,
} from './helpers.mjs';

const WIRES = ['notes', 'pressure', 'control', 'control-14', 'frames'];
/** Raw values that 7 bits can carry, and what is made of them for the wider wires. */
const SCANS = [
  { inputs: [0, 7, 19], raws: [3, 64, 127] },
  { inputs: [0, 7, 19], raws: [0, 100, 1] },
];

const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');

function scansFor(wire) {
  const wide = midiWire(wire).full > 127;
  return SCANS.map(({ inputs, raws }, i) => ({
    type: 'scan',
    t: i * 4_000,
    inputs,
    raws: wide ? raws.map((raw) => raw * 129) : raws,
  }));
}

function messages(wire) {
  let sent = 0;
  return scansFor(wire).flatMap((scan) => {
    const made = midiWire(wire).encode(scan, sent);
    sent += made.length;
    return made;
  });
}

/** The last raw value of each input. */
function lastRaws(scans) {
  const last = {};
  for (const { inputs, raws } of scans) inputs.forEach((input, i) => (last[input] = raws[i]));
  return last;
}

await main(async () => {
  const told = [];
  const events = [];
  const clock = liveClock();
  const seatNames = [...WIRES, 'card', 'swift', 'own', 'flood'];
  const froms = [
    ...WIRES.map((wire) => ({ midi: `paperboard-${wire}` })),
    { midi: 'VirMIDI 0-1' },
    { midi: 'swiftboard' },
    { virtual: 'pads-in' },
    { midi: 'VirMIDI 0-2' },
  ];
  const kinds = [...WIRES, 'pressure', 'pressure', 'pressure', 'pressure'];
  const source = midiSource({
    seats: froms.map((from, seat) => ({ seat, seatName: seatNames[seat], from, as: kinds[seat] })),
    clock,
    tell: (notice) => told.push({ at: performance.now(), ...notice }),
  });
  source.events.subscribe((e) => events.push({ at: performance.now(), ...e }));
  const scansOf = (seat) =>
    events.filter((e) => e.seat === seat && e.event.type === 'scan').map((e) => e.event);
  const resetsOf = (seat) => events.filter((e) => e.seat === seat && e.event.type === 'reset');
  const count = (what) => told.filter((notice) => notice.what.includes(what)).length;

  // (a) Boards that are plugged in after the start, one wire each.
  let board = start('board', process.execPath, [
    'tests/alsa/inside/board.mjs',
    'paperboard',
    ...WIRES,
  ]);
  await until('all five ports opened', () =>
    WIRES.every((w) => count(`paperboard-${w}" is open`) > 0),
  );
  const send = () => {
    for (const wire of WIRES)
      for (const m of messages(wire)) board.stdin.write(`${wire} ${hex(m)}\n`);
  };
  const complete = (from) =>
    WIRES.every((wire, seat) => {
      const got = lastRaws(scansOf(seat).slice(from[seat]));
      const wanted = lastRaws(scansFor(wire));
      return Object.entries(wanted).every(([input, raw]) => got[input] === raw);
    });
  send();
  await until('the readings of all five wires', () => complete(WIRES.map(() => 0))).catch(
    () => undefined,
  );
  const first = WIRES.map((wire, seat) => ({ wire, wanted: scansFor(wire), got: scansOf(seat) }));

  // A raw card: bytes written to its raw device by another program.
  execFileSync('amidi', ['-p', 'hw:0,1', '-S', 'A0 05 2A A0 06 2B 06 00']);
  await until('the readings of the raw card', () => scansOf(5).length >= 3).catch(() => undefined);

  // (b) The cable is pulled: the process that owns the ports ends at once.
  const names = listMidiPorts();
  const pulled = performance.now();
  await end(board);
  await until('a reset of all five seats', () =>
    WIRES.every((_, seat) => resetsOf(seat).length > 0),
  ).catch(() => undefined);
  const lost = WIRES.map((wire, seat) => ({
    wire,
    resets: resetsOf(seat).map((e) => ({ why: e.event.why, after: e.at - pulled })),
  }));
  const before = WIRES.map((_, seat) => scansOf(seat).length);
  board = start('board-2', process.execPath, [
    'tests/alsa/inside/board.mjs',
    'paperboard',
    ...WIRES,
  ]);
  await until('all five ports opened again', () =>
    WIRES.every((w) => count(`paperboard-${w}" is open again`) > 0),
  );
  send();
  await until('the readings after plugging in again', () => complete(before)).catch(
    () => undefined,
  );
  const again = WIRES.map((wire, seat) => ({
    wire,
    wanted: scansFor(wire),
    got: scansOf(seat).slice(before[seat]),
  }));

  // A bad contact: gone and back before anybody looks, with the same name and address.
  let swift = new Output();
  swift.openVirtualPort('swiftboard');
  await until('the swift board', () => count('swiftboard" is open') > 0);
  const oldAddress = await portOf('swiftboard');
  swift.destroy();
  swift = new Output();
  swift.openVirtualPort('swiftboard');
  const newAddress = await portOf('swiftboard');
  const swapped = performance.now();
  await until('a reset of the swift board', () => resetsOf(6).length > 0).catch(() => undefined);
  swift.sendMessage([0xa0, 9, 99]);
  await until('the swift board heard again', () => scansOf(6).length > 0).catch(() => undefined);
  const quick = { oldAddress, newAddress, after: resetsOf(6)[0]?.at - swapped, got: scansOf(6) };

  // A port of our own that another program joins and leaves.
  const player = start('player', process.execPath, ['tests/alsa/inside/board.mjs', 'player', 'a']);
  joinPorts(await portOf('player-a'), await portOf('pads-in'));
  player.stdin.write('a a0 04 44\n');
  await until('a reading on our own port', () => scansOf(7).length > 0).catch(() => undefined);
  await sleep(1_500);
  const left = performance.now();
  await end(player);
  await until('a reset of our own port', () => resetsOf(7).length > 0).catch(() => undefined);
  const own = {
    got: scansOf(7),
    resets: resetsOf(7).map((e) => ({ why: e.event.why, after: e.at - left })),
  };

  // More than ALSA can hand over: what it has no room for is lost.
  const many = Array.from({ length: 6_000 }, (_, i) => [0xa0, i % 20, i % 128]);
  writeFileSync('/tmp/many', Buffer.from(many.flat()));
  await start('amidi', 'amidi', ['-p', 'hw:0,2', '-s', '/tmp/many']).ended;
  await until('a reset of the flooded seat', () => resetsOf(8).length > 0).catch(() => undefined);
  const heard = scansOf(8).length;
  await sleep(1_500);
  const settled = resetsOf(8).length;
  await sleep(1_500);
  execFileSync('amidi', ['-p', 'hw:0,2', '-S', 'A0 05 2A']);
  await until('a reading after the flood', () => scansOf(8).length > heard).catch(() => undefined);
  const flood = {
    sent: many.length,
    heard,
    whys: resetsOf(8).map((e) => e.event.why),
    settled,
    last: scansOf(8).at(-1),
  };

  // (c) Messages out, read by another program.
  const seats = [{ name: 'north', sound: 34, level: 1, strings: 4 }];
  const tellEngine = (notice) => told.push({ at: performance.now(), ...notice });
  const engine = midiEngine({
    seats,
    target: { virtual: 'pluckwork' },
    channels: 'seat',
    tell: tellEngine,
  });
  const port = await portOf('pluckwork');
  const dump = start('aseqdump', 'aseqdump', ['-p', port]);
  await until('the opening messages', () => dump.output.includes('Program change')).catch(
    () => undefined,
  );
  const list = aconnectList();
  const on = {
    type: 'on',
    t: 1,
    voice: 1,
    seat: 0,
    note: 28,
    velocity: 96,
    strength: 0.7,
    string: 3,
    fret: 0,
    how: 'pluck',
  };
  engine.send(on);
  engine.send({ type: 'off', t: 2, voice: 1, seat: 0, note: 28, string: 3, slurred: false });
  engine.send({ ...on, t: 3, voice: 2, note: 33, velocity: 1 });
  await engine.close();
  // The first is said as it opens.
  await until(
    'the last message',
    () => dump.output.match(/Control change[^\n]*controller 120/g)?.length === 2,
  ).catch(() => undefined);
  await source.close();

  // No ALSA at all, as in a container: in a mount namespace of its own with an empty /dev/snd.
  const empty = 'mount -t tmpfs none /dev/snd && exec "$0" tests/alsa/inside/none.mjs';
  const none = start('none', 'unshare', ['-m', 'sh', '-c', empty, process.execPath]);
  const noneCode = await none.ended;

  report('ports', {
    none: { code: noneCode, output: none.output },
    names,
    first,
    card: scansOf(5),
    lost,
    again,
    quick,
    flood,
    own,
    list,
    dump: dump.output,
    told,
  });
});
