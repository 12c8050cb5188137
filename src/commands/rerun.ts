import { performance } from 'node:perf_hooks';
import { writeFileSync } from 'node:fs';
import type { SeatSound } from '../engine/seat-sound.js';
import { standardMidiFile } from '../engine/smf.js';
import { fileTrouble, openLines } from '../ports/take-file.js';
import { renderSound } from '../ports/sound-file.js';
import type { VoiceEvent } from '../room/voice.js';
import { formatNote } from '../takes/notes.js';
import { rerun } from '../takes/rerun.js';
import { openTakeOf, TAKE_OPTIONS } from './take-options.js';
import { EXIT, FOLDER, Failure, textOf, type Call, type Command, type Exit } from './cli.js';

function writeBytes(path: string, bytes: Uint8Array): void {
  try {
    writeFileSync(path, bytes);
  } catch (error) {
    throw new Failure(`${path}: ${fileTrouble(error)}`);
  }
}

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
  const { path, take, plan } = await openTakeOf(call);

  const began = performance.now();
  const events: VoiceEvent[] = [];
  let readings = 0;
  let last = 0;
  function* counted() {
    for (const event of take.events(({ line, what }) => {
      call.tell({ level: 'warn', what, where: `${path}:${String(line)}` });
    })) {
      last = event.t;
      if (event.type === 'scan') readings += event.inputs.length;
      yield event;
    }
  }
  rerun(counted(), plan, (_seat, t, error) => {
    call.tell({
      level: 'error',
      what: `the playing logic failed and ended its notes: ${(error as Error).message}`,
      where: `${path} at ${(t / 1e6).toFixed(3)} s`,
      next: 'It went on from there.',
    });
  }).subscribe((event) => events.push(event));
  const took = performance.now() - began;

  const sounds: SeatSound[] = [
    {
      name: 'take',
      sound: plan.instrument.sound,
      level: 1,
      strings: plan.instrument.strings.length,
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
  if (midi !== undefined) writeBytes(midi, standardMidiFile(events, { seats: sounds }));
  if (wav !== undefined) {
    const soundfont = textOf(call, 'soundfont') ?? null;
    writeBytes(
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
