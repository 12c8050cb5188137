// Boards whose ports stay but which stop sending, through the whole service: one that sends frames at
// a steady pace, and one that sends notes and Active Sensing. aseqdump hears what comes out. Writes what
// happened for silence.test.ts.
import { main, portOf, report, sleep, start, until } from './helpers.mjs';
import { D2, E1, PATIENCE, plucked, said, service, touchboard, write } from './service-hands.mjs';

const seat = (name, midi, as) => `
  - name: ${name}
    instrument: bass-4x4
    from: { midi: ${midi}, as: ${as} }`;
write(
  'rooms/hall.yaml',
  `seats:${seat('north', 'touchboard', 'frames')}${seat('south', 'keyboard', 'notes')}
to:
  - midi: { virtual: pluckwork }
`,
);

/** Each seat has a MIDI channel of its own. */
const [NORTH, SOUTH] = [0, 1];
const STOPPED = 'Nothing comes from its board any more';
const BACK = 'Its board sends again';

await main(async () => {
  const board = touchboard('board');
  const args = ['tests/alsa/inside/board.mjs', 'keyboard', 'pads'];
  const keyboard = start('keyboard', process.execPath, args);
  const send = (...bytes) => {
    keyboard.stdin.write(`pads ${bytes.map((byte) => byte.toString(16)).join(' ')}\n`);
  };
  await portOf('touchboard', PATIENCE);
  await portOf('keyboard', PATIENCE);
  const playing = await service('hall', 'play', 'hall', '--page', 'off');
  const dump = start('dump', 'aseqdump', ['-p', await portOf('pluckwork', PATIENCE)]);
  await until('aseqdump', () => dump.output.includes('Waiting for data'), PATIENCE);
  await said(playing, 'touchboard-pads" is open');
  await said(playing, 'keyboard-pads" is open');

  const notes = (type, channel) => {
    const lines = dump.output.matchAll(new RegExp(`${type} +${channel}, note (\\d+)`, 'g'));
    return [...lines].map(([, note]) => Number(note));
  };
  const heard = (type, channel, times) =>
    until(`${type} (${times})`, () => notes(type, channel).length >= times, PATIENCE);
  const ended = (channel) => ({ ons: notes('Note on', channel), offs: notes('Note off', channel) });

  // Long enough for this slow machine to see a pace.
  await board.play(plucked(E1, 4, 6_000, 1e6), 30_000);
  const stopped = performance.now();
  await heard('Note off', NORTH, 1);
  const framesAfter = performance.now() - stopped;
  await said(playing, `${STOPPED}: what was still sounding was ended (seat north)`);
  const silent = { ons: notes('Note on', NORTH), there: board.process.exitCode === null };
  await board.play(plucked(D2, 3, 3_000, 3_500), 5_000);
  await heard('Note on', NORTH, 2);
  await said(playing, `${BACK} (seat north)`);

  // A fret is held and its string plucked, then nothing but Active Sensing: the note goes on.
  const sensing = setInterval(() => send(0xfe), 100);
  await sleep(500);
  send(0x90, 15, 100);
  send(0x90, 19, 100);
  await heard('Note on', SOUTH, 1);
  await sleep(3_000);
  const held = notes('Note off', SOUTH).length;
  clearInterval(sensing);
  const quiet = performance.now();
  await heard('Note off', SOUTH, 1);
  const sensingAfter = performance.now() - quiet;
  await said(playing, `${STOPPED}: what was still sounding was ended (seat south)`);
  const again = setInterval(() => send(0xfe), 100);
  await said(playing, `${BACK} (seat south)`);
  send(0x90, 17, 100);
  await heard('Note on', SOUTH, 2);
  clearInterval(again);

  playing.kill('SIGTERM');
  const code = await playing.ended;
  const { output } = playing;
  const seats = { north: ended(NORTH), south: ended(SOUTH) };
  report('silence', { code, output, ...seats, silent, framesAfter, held, sensingAfter });
});
