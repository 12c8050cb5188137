import { resolve } from 'node:path';
import type { Loudness } from '../engine/builtin/output.js';
import { soundOf, type SeatSound } from '../engine/seat-sound.js';
import { standardMidiFile } from '../engine/smf.js';
import { openLines, writeWhole } from '../ports/take-file.js';
import { planRoomTake } from '../ports/take-room-plan.js';
import { renderSound } from '../ports/sound-file.js';
import { tellLoudness } from '../ports/sound/loudness-words.js';
import { noteLines } from '../takes/notes.js';
import { isRoomTake } from '../takes/room-header.js';
import { runRoomTake, runTake, type TakeRun } from './rerun-take.js';
import { openTakeOf, readTakeOf, TAKE_OPTIONS } from './take-options.js';
import { EXIT, FOLDER, folderOf, textOf, UsageFault } from './cli.js';
import type { Call, Command, Exit } from './cli.js';

async function writeNotes(path: string, lines: readonly string[], call: Call): Promise<void> {
  if (path === '-') {
    for (const line of lines) call.say(line);
    return;
  }
  const file = openLines(path);
  for (const line of lines) file.write(line);
  await file.close();
}

/** What is written, and of what. */
interface Played extends TakeRun {
  readonly path: string;
  readonly names: readonly string[];
  readonly sounds: readonly SeatSound[];
}

/** Runs the take, a room's whole unless one seat of it is asked for. */
async function runOf(call: Call): Promise<Played> {
  const read = readTakeOf(call);
  const { path, opened } = read;
  if (isRoomTake(opened.header) && textOf(call, 'seat') === undefined) {
    for (const option of ['instrument', 'build']) {
      if (textOf(call, option) === undefined) continue;
      throw new UsageFault(`--${option} is for one seat, and ${path} is of a room: add --seat`);
    }
    const planned = await planRoomTake(path, opened, folderOf(call), textOf(call, 'rules'));
    const { names, sounds } = planned;
    return { path, names, sounds, ...runRoomTake(path, planned, call) };
  }
  const one = await openTakeOf(call, read);
  const sound = { name: 'take', level: 1, pan: 0, sound: null };
  const sounds = [soundOf(sound, one.plan.instrument)];
  return { path, names: ['take'], sounds, ...runTake(one, call) };
}

async function run(call: Call): Promise<Exit> {
  const { path, names, sounds, events, readings, last, took } = await runOf(call);
  const midi = textOf(call, 'midi');
  const wav = textOf(call, 'wav');
  for (const out of [textOf(call, 'notes'), midi, wav]) {
    if (out !== undefined && out !== '-' && resolve(out) === resolve(path))
      throw new UsageFault(`${out} is the take itself: choose another file to write to`);
  }
  let heard: Loudness | null = null;
  const notes =
    textOf(call, 'notes') ?? (midi === undefined && wav === undefined ? '-' : undefined);
  if (notes !== undefined) {
    const lines = events.map(noteLines(names)).filter((line) => line !== null);
    await writeNotes(notes, lines, call);
  }
  if (midi !== undefined) writeWhole(midi, standardMidiFile(events, { seats: sounds }));
  if (wav !== undefined) {
    const soundfont = textOf(call, 'soundfont') ?? null;
    if (call.watched) call.tell({ level: 'info', what: `Writing the sound to ${wav}` });
    const sound = { seats: sounds, seed: 1, soundfont, tell: call.tell };
    const { bytes, loudness } = await renderSound(events, sound);
    writeWhole(wav, bytes);
    heard = loudness;
  }
  if (call.watched || notes !== '-') {
    const count = events.filter((event) => event.type === 'on').length;
    const seconds = (last / 1e6).toFixed(1);
    call.tell({
      level: 'info',
      what: `${String(count)} notes from ${String(readings)} readings in ${seconds} s of playing, run in ${took.toFixed(0)} ms`,
      where: path,
    });
  }
  if (wav !== undefined) tellLoudness(heard, wav, call.tell);
  return EXIT.done;
}

export const rerunCommand: Command = {
  name: 'rerun',
  summary: 'run a take again and write its notes, a MIDI file or a WAV',
  usage: ['rerun TAKE [OPTIONS]'],
  about: `Runs a take through the whole way again, on virtual time: the same take and the same files
give the same notes, byte for byte, and the ones that were played live. A take of a whole room is
run with all its seats at once; --rules then holds for all of them, and --seat picks one. Without
--notes, --midi or --wav the notes are written to standard output.`,
  words: 1,
  options: {
    ...TAKE_OPTIONS,
    seat: { takes: 'NAME', about: 'of a take of a whole room: run this seat alone [all of them]' },
    notes: { takes: 'FILE', about: 'write the notes as JSON lines; - is standard output' },
    midi: { takes: 'FILE', about: 'write a Standard MIDI File' },
    wav: { takes: 'FILE', about: 'write the sound of the built-in engine' },
    soundfont: { takes: 'FILE', about: 'for --wav: sounds from this SoundFont instead of our own' },
    ...FOLDER,
  },
  run,
};
