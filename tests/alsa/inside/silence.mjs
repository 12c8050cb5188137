// Boards whose ports stay but which stop sending, through the whole service: one that sends frames at
// a steady pace, and one that sends notes and Active Sensing. aseqdump hears what comes out. Writes what
// happened for silence.test.ts.
import { main, portOf, report, sleep, start, until } from './helpers.mjs';
import {
  D2,
  E1,
  FOLDER,
  PATIENCE,
  plucked,
  said,
  service,
  touchboard,
  write,
} from './service-hands.mjs';

const room = (midi, as) => `seats:
  - name: north
    instrument: bass-4x4
    from: { midi: ${midi}, as: ${as} }
to:
  - midi: { virtual: pluckwork }
`;
write('rooms/frames.yaml', room('touchboard', 'frames'));
write('rooms/notes.yaml', room('keyboard', 'notes'));

const STOPPED = 'Nothing comes from its board any more';
const BACK = 'Its board sends again';
const notes = (child, type) => [
  ...child.output.matchAll(new RegExp(`${type} +0, note (\\d+)`, 'g')),
];
const heard = (child, type, times) =>
  until(`${type} (${times})`, () => notes(child, type).length >= times, PATIENCE);
const numbers = (child, type) => notes(child, type).map(([, note]) => Number(note));

/** Plays a room, with aseqdump joined to what it sends. */
async function played(name) {
  const playing = await service(
    name,
    'play',
    name,
    '--page',
    'off',
    '--record',
    `${FOLDER}/${name}`,
  );
  const port = await portOf('pluckwork', PATIENCE);
  const dump = start(`${name}-dump`, 'aseqdump', ['-p', port]);
  await until('aseqdump', () => dump.output.includes('Waiting for data'), PATIENCE);
  return { playing, dump };
}

async function ended({ playing, dump }) {
  playing.kill('SIGTERM');
  const code = await playing.ended;
  dump.kill('SIGINT');
  return {
    code,
    output: playing.output,
    ons: numbers(dump, 'Note on'),
    offs: numbers(dump, 'Note off'),
  };
}

await main(async () => {
  const board = touchboard('board');
  await portOf('touchboard', PATIENCE);
  let room = await played('frames');
  await said(room.playing, 'touchboard-pads" is open');
  // Long enough for this slow machine to see a pace.
  await board.play(plucked(E1, 4, 8_000, 1e6), 12_000);
  await heard(room.dump, 'Note on', 1);
  const stopped = performance.now();
  await heard(room.dump, 'Note off', 1);
  const framesAfter = performance.now() - stopped;
  await said(room.playing, STOPPED);
  const silent = { ons: numbers(room.dump, 'Note on'), there: board.process.exitCode === null };
  await board.play(plucked(D2, 3, 4_000, 4_500), 6_000);
  await heard(room.dump, 'Note on', 2);
  const frames = await ended(room);

  const keyboard = start('keys', process.execPath, [
    'tests/alsa/inside/board.mjs',
    'keyboard',
    'pads',
  ]);
  const send = (...bytes) => {
    keyboard.stdin.write(`pads ${bytes.map((byte) => byte.toString(16)).join(' ')}\n`);
  };
  await portOf('keyboard', PATIENCE);
  room = await played('notes');
  await said(room.playing, 'keyboard-pads" is open');
  // Active Sensing at most 300 ms apart; a pluck pad that is touched and never let go.
  const sensing = setInterval(() => send(0xfe), 100);
  await sleep(500);
  send(0x90, 19, 100);
  await heard(room.dump, 'Note on', 1);
  await sleep(1_500);
  const held = numbers(room.dump, 'Note off').length;
  clearInterval(sensing);
  const quiet = performance.now();
  await heard(room.dump, 'Note off', 1);
  const sensingAfter = performance.now() - quiet;
  await said(room.playing, STOPPED);
  send(0xfe);
  const again = setInterval(() => send(0xfe), 100);
  await said(room.playing, BACK);
  send(0x90, 17, 100);
  await heard(room.dump, 'Note on', 2);
  clearInterval(again);
  const notesRoom = await ended(room);
  report('silence', { frames, silent, framesAfter, notes: notesRoom, held, sensingAfter });
});
