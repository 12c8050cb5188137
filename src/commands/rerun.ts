import type { SeatSound } from '../engine/seat-sound.js';
import { standardMidiFile } from '../engine/smf.js';
import { openLines, writeWhole } from '../ports/take-file.js';
import { renderSound } from '../ports/sound-file.js';
import { formatNote } from '../takes/notes.js';
import { runTake } from './rerun-take.js';
import { openTakeOf, TAKE_OPTIONS } from './take-options.js';
import { EXIT, FOLDER, textOf, type Call, type Command, type Exit } from './cli.js';

async function writeNotes(path: string, lines: readonly string[], call: Call): Promise<void> {
  if (path === '-') {
    for (const line of lines) call.say(line);
    return;
  }
  const file = openLines(path);
  for (const line of lines) file.write(line);
  await file.close();
}

async function run(call: Call): Promise<Exit> {
  const opened = await openTakeOf(call);
  const { path, plan } = opened;
  const { events, readings, last, took } = runTake(opened, call);

  const sounds: SeatSound[] = [
    {
      name: 'take',
      kind: plan.instrument.kind,
      sound: plan.instrument.sound,
      level: 1,
      pan: 0,
      strings: plan.instrument.kind === 'strings' ? plan.instrument.strings.length : 1,
    },
  ];
  const midi = textOf(call, 'midi');
  const wav = textOf(call, 'wav');
  const notes =
    textOf(call, 'notes') ?? (midi === undefined && wav === undefined ? '-' : undefined);
  if (notes !== undefined) {
    const lines = events
      .map((event) => formatNote(event, ['take']))
      .filter((line) => line !== null);
    await writeNotes(notes, lines, call);
  }
  if (midi !== undefined) writeWhole(midi, standardMidiFile(events, { seats: sounds }));
  if (wav !== undefined) {
    const soundfont = textOf(call, 'soundfont') ?? null;
    if (call.watched) call.tell({ level: 'info', what: `Writing the sound to ${wav}` });
    writeWhole(
      wav,
      await renderSound(events, { seats: sounds, seed: 1, soundfont, tell: call.tell }),
    );
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
  return EXIT.done;
}

export const rerunCommand: Command = {
  name: 'rerun',
  summary: 'run a take again and write its notes, a MIDI file or a WAV',
  usage: ['rerun TAKE [OPTIONS]'],
  about: `Runs a take through the whole way again, on virtual time: the same take and the same files
give the same notes, byte for byte, and the ones that were played live. Without --notes, --midi or
--wav the notes are written to standard output.`,
  words: 1,
  options: {
    ...TAKE_OPTIONS,
    notes: { takes: 'FILE', about: 'write the notes as JSON lines; - is standard output' },
    midi: { takes: 'FILE', about: 'write a Standard MIDI File' },
    wav: { takes: 'FILE', about: 'write the sound of the built-in engine' },
    soundfont: { takes: 'FILE', about: 'for --wav: sounds from this SoundFont instead of our own' },
    ...FOLDER,
  },
  run,
};
