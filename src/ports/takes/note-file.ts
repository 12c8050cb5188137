import { encodingFault } from '../../instrument/encoding.js';
import { isMidiFile, MidiFault, readMidiNotes } from '../../takes/read-midi.js';
import { kindOfFile, readNotes, type NotesRead } from '../../takes/read-notes.js';
import { fileTrouble, TakeFileFault } from '../files/fault.js';
import { piecesOf } from './text.js';

/** More than this is no list of notes that people want, in bytes. */
const LARGEST = 64_000_000;
/** A MIDI file takes some thirty times its size in memory. */
const LARGEST_MIDI = 8_000_000;
/** How much of a file tells what it is, in bytes. */
const HEAD = 65_536;

/** A file of notes; an empty one is a list of none. */
export interface NoteFile extends NotesRead {
  /** `neither`: no line of it looks like a note. */
  readonly kind: 'notes' | 'midi' | 'neither';
  /** Notes of a MIDI file that were left out, since they are percussion and others are not. */
  readonly percussion: number;
  readonly empty: boolean;
}

/**
 * Reads a file of notes, gzipped or not, JSON lines or a Standard MIDI File: told by how it begins. Of a
 * take only its beginning is read.
 *
 * @throws TakeFileFault where it cannot be read, is too long, or is a damaged MIDI file
 */
export async function readNoteFile(path: string): Promise<NoteFile | { readonly kind: 'take' }> {
  const parts: Buffer[] = [];
  let length = 0;
  try {
    for await (const piece of piecesOf(path)) {
      parts.push(piece);
      const before = length;
      length += piece.length;
      if (before < HEAD && length >= HEAD && isTake(Buffer.concat(parts))) return { kind: 'take' };
      if (length > LARGEST) throw tooLong(path);
    }
  } catch (error) {
    if (error instanceof TakeFileFault) throw error;
    throw new TakeFileFault(`${path}: ${fileTrouble(error)}`);
  }
  const bytes = Buffer.concat(parts);
  if (isTake(bytes)) return { kind: 'take' };
  if (isMidiFile(bytes)) return midiNotes(path, bytes);
  const wrong = encodingFault(bytes);
  // What is no text at all has no line that is a note, which is said in better words.
  if (wrong?.line === null) {
    throw new TakeFileFault(`${path}: found ${wrong.found}, not UTF-8; ${wrong.fix}`);
  }
  const text = bytes.toString('utf8');
  const kind = kindOfFile(text) === 'notes' ? 'notes' : 'neither';
  return { kind, ...readNotes(text), percussion: 0, empty: text.trim() === '' };
}

/** By its beginning; a header may be longer than that. */
function isTake(bytes: Buffer): boolean {
  const text = bytes.subarray(0, HEAD).toString('utf8');
  const whole = bytes.length <= HEAD || text.includes('\n');
  return whole ? kindOfFile(text) === 'take' : /^\uFEFF?\s*\{\s*"take"/.test(text);
}

function midiNotes(path: string, bytes: Uint8Array): NoteFile {
  if (bytes.length > LARGEST_MIDI) throw tooLong(path);
  try {
    return { kind: 'midi', ...readMidiNotes(bytes), problems: [], empty: false };
  } catch (error) {
    if (!(error instanceof MidiFault)) throw error;
    throw new TakeFileFault(`${path}: ${error.message}`);
  }
}

function tooLong(path: string): TakeFileFault {
  return new TakeFileFault(
    `${path}: it is too long for a list of notes; check that it is the file that you meant`,
  );
}
