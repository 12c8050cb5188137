import { soundOf, type SeatSound } from '../../engine/seat-sound.js';
import { standardMidiFile } from '../../engine/smf.js';
import { openSound } from '../../ports/takes/sound-file.js';
import { tellWritten } from '../../ports/sound/written-words.js';
import { openLines } from '../../ports/takes/file.js';
import { planRoomTake } from '../../ports/takes/room-plan.js';
import type { VoiceEvent } from '../../room/voice.js';
import { limitNotes } from '../../takes/limits.js';
import { noteLines } from '../../takes/notes.js';
import { isRoomTake } from '../../takes/room-header.js';
import { outputDrained } from '../output.js';
import { runRoomTake, runTake, type TakeRun } from './take.js';
import { openTakeOf, readTakeOf, TAKE_OPTIONS } from '../take-options.js';
import { trustOf } from '../trust.js';
import { EXIT, Failure, FOLDER, folderOf, textOf, UsageFault } from '../cli.js';
import type { Call, Command, Exit } from '../cli.js';
import { checkOutputs, piecewise, writeResult } from '../replacing.js';

/** What is written, and of what. */
interface Played extends TakeRun {
  readonly path: string;
  readonly names: readonly string[];
  readonly sounds: readonly SeatSound[];
}

/** Where voices go as the take is run. */
interface Sink {
  put(events: readonly VoiceEvent[]): Promise<void> | void;
  close(): Promise<void> | void;
  /** Leaves its file as it was before. */
  drop(): Promise<void> | void;
}

/** Runs the take, a room's whole unless one seat of it is asked for. */
async function runOf(call: Call): Promise<Played> {
  const read = await readTakeOf(call);
  const { path, opened } = read;
  if (isRoomTake(opened.header) && textOf(call, 'seat') === undefined) {
    for (const option of ['instrument', 'build']) {
      if (textOf(call, option) === undefined) continue;
      throw new UsageFault(`--${option} is for one seat, and ${path} is of a room: add --seat`);
    }
    const rules = textOf(call, 'rules');
    const planned = await planRoomTake(path, opened, folderOf(call), rules, trustOf(call));
    const { names, sounds } = planned;
    return { path, names, sounds, ...runRoomTake(path, planned, call) };
  }
  const one = await openTakeOf(call, read);
  const sound = { name: 'take', level: 1, pan: 0, sound: null };
  const sounds = [soundOf(sound, one.plan.instrument)];
  return { path, names: ['take'], sounds, ...runTake(one, call) };
}

function notesTo(path: string, names: readonly string[], call: Call): Sink {
  const lineOf = noteLines(names);
  const format = (events: readonly VoiceEvent[]): string[] =>
    events.map(lineOf).filter((line) => line !== null);
  if (path === '-') {
    return {
      put: async (events) => {
        for (const line of format(events)) call.say(line);
        await outputDrained();
      },
      close: () => undefined,
      drop: () => undefined,
    };
  }
  const place = piecewise(path, call);
  const file = openLines(place.part);
  return {
    put: async (events) => {
      for (const line of format(events)) file.write(line);
      await file.drained();
    },
    close: async () => {
      await file.close();
      place.done();
    },
    drop: async () => {
      await file.close().catch(() => undefined);
      place.drop();
    },
  };
}

/** A Standard MIDI File says how long each track is before it, so that all of it must be there. */
function midiTo(path: string, seats: readonly SeatSound[], call: Call): Sink {
  const all: VoiceEvent[] = [];
  return {
    put: (events) => {
      for (const event of events) all.push(event);
      limitNotes(all.length / 2);
    },
    close: () => {
      writeResult(path, standardMidiFile(all, { seats }), call);
    },
    drop: () => undefined,
  };
}

async function soundTo(path: string, seats: readonly SeatSound[], call: Call): Promise<Sink> {
  const soundfont = textOf(call, 'soundfont') ?? null;
  if (call.watched) call.tell({ level: 'info', what: `Writing the sound to ${path}` });
  const place = piecewise(path, call);
  const file = await openSound(place.part, { seats, seed: 1, soundfont, tell: call.tell });
  return {
    put: (events) => file.play(events),
    close: async () => {
      const written = await file.close();
      place.done();
      tellWritten(written, path, call.tell);
    },
    drop: async () => {
      await file.close().catch(() => undefined);
      place.drop();
    },
  };
}

async function run(call: Call): Promise<Exit> {
  checkOutputs(call, ['notes', 'midi', 'wav'], { 'the take itself': call.words[0] });
  const { path, names, sounds, voices, seen } = await runOf(call);
  const midi = textOf(call, 'midi');
  const wav = textOf(call, 'wav');
  const notes =
    textOf(call, 'notes') ?? (midi === undefined && wav === undefined ? '-' : undefined);
  const sinks: Sink[] = [];
  if (notes !== undefined) sinks.push(notesTo(notes, names, call));
  if (midi !== undefined) sinks.push(midiTo(midi, sounds, call));
  const sound = wav === undefined ? null : await soundTo(wav, sounds, call);
  if (sound) sinks.push(sound);
  let count = 0;
  try {
    for await (const batch of voices) {
      for (const event of batch) if (event.type === 'on') count += 1;
      for (const sink of sinks) await sink.put(batch);
    }
    if (seen.told === 0 && seen.leftOut > 0) {
      throw new Failure(
        `${path} holds no line that can be read, so nothing was written: use another copy of it`,
      );
    }
  } catch (error) {
    // A result from before is worth more than a part of this one, which can be made again.
    for (const sink of sinks) await sink.drop();
    throw error;
  }
  // What is said of the sound comes last.
  for (const sink of sinks) if (sink !== sound) await sink.close();
  if (call.watched || notes !== '-') {
    const { readings, last, took } = seen;
    const seconds = (last / 1e6).toFixed(1);
    call.tell({
      level: 'info',
      what: `${String(count)} ${count === 1 ? 'note' : 'notes'} from ${String(readings)} readings in ${seconds} s of playing, run in ${took.toFixed(0)} ms`,
      where: path,
    });
  }
  await sound?.close();
  return EXIT.done;
}

export const rerunCommand: Command = {
  name: 'rerun',
  summary: 'run a take again and write its notes, a MIDI file or a WAV',
  usage: ['rerun TAKE [OPTIONS]'],
  about: `Runs a take through the whole way again, on virtual time: the same take and the same files
give the same notes, byte for byte, and the ones that were played live. A take of a whole room is
run with all its seats at once; --rules then holds for all of them, and --seat picks one. Without
--notes, --midi or --wav the notes are written to standard output. A take may be of any length. In a
WAV, which holds at most 6 hours, gaps of more than a minute in which nothing is played are shortened.`,
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
