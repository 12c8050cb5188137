import type { Problem } from '../../instrument/fault.js';
import type { Rules } from '../../instrument/types.js';
import type { WholeRoom } from './room.js';

/** What the thread that reads files is started with. */
export interface FilesThreadData {
  /** The room, as it was asked for, and where the person keeps their files. */
  readonly name: string;
  readonly folder: string;
  /** The paths to watch until the room is read for the first time. */
  readonly looked: readonly string[];
  /** Those of them that are files, which are missed where they go away. */
  readonly files: readonly string[];
}

/** Asked of the thread that reads files. */
export type ToFiles =
  | { readonly read: 'room'; readonly id: number }
  | { readonly read: 'rules'; readonly id: number; readonly name: string };

/** What came of reading: a value, or what is wrong. */
export type Read<Value> =
  | { readonly value: Value }
  | { readonly problems: readonly Problem[] }
  /** Something that is no file's fault, in words. */
  | { readonly failed: string };

/** The room as its files have it. */
export interface RoomRead {
  readonly room: Read<WholeRoom>;
  /** Of the files that it was read from before, those that are gone. */
  readonly gone: readonly string[];
}

/** Told by the thread that reads files. */
export type FromFiles =
  | { readonly type: 'ready' }
  /** It begins to read, and will say what came of it. */
  | { readonly type: 'reading' }
  /** Its answer to what was asked for under `id`; without one, files of the room have changed. */
  | ({ readonly type: 'room'; readonly id: number | null } & RoomRead)
  | { readonly type: 'rules'; readonly id: number; readonly rules: Read<Rules> };
