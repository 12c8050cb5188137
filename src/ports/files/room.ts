import { resolve } from 'node:path';
import { parseBuild } from '../../instrument/build.js';
import type { Complaint } from '../../instrument/explain.js';
import { FileFault, type Problem } from '../../instrument/fault.js';
import { misfit } from '../../instrument/fits.js';
import { parseInstrument } from '../../instrument/instrument.js';
import { readRoom } from '../../instrument/room.js';
import { parseRules } from '../../instrument/rules.js';
import type {
  Build,
  From,
  Instrument,
  OscMessages,
  Room,
  Rules,
  Seat,
  To,
} from '../../instrument/types.js';
import { parseTemplates, templateComplaints } from './templates.js';
import { findFile, readText, search, searchPath, shown, type Kind } from './find.js';
import { tryLogics, withCode, type Play } from '../logic/load.js';
import { TakeFileFault } from './fault.js';
import { headerOfTake } from '../takes/seat.js';
import type { TakeHeader } from '../../takes/take.js';

/** A rule set by the name that the room calls it. */
export interface RulesSet {
  readonly name: string;
  readonly rules: Rules;
}

/** A seat with what its file names stand for. */
export interface ReadySeat {
  readonly seat: Seat;
  readonly instrument: Instrument;
  /** null: calibrated as it starts. */
  readonly build: Build | null;
  readonly rules: Rules;
  /** The absolute path of its rules, for whoever watches them. */
  readonly rulesFile: string;
  /** What the rules can be switched to, in the order of the room file. */
  readonly choices: readonly RulesSet[];
  /** The header of the take that it plays from, of its seat's part; null: it plays from no take. */
  readonly take: TakeHeader | null;
}

/** A room with all that it names; paths of takes and SoundFonts in it are absolute. */
export interface WholeRoom {
  readonly room: Room<OscMessages>;
  /** In the order of the room file. */
  readonly seats: readonly ReadySeat[];
  /** The absolute paths of all files that were read, the room's own first. */
  readonly files: readonly string[];
  /** Those, and the paths at which another file would be found instead: a change there is one of the room. */
  readonly looked: readonly string[];
}

type Path = Complaint['path'];

/**
 * Loads a room and all that it names, and checks that they fit together.
 *
 * @param name a bare name or a path; see `search`
 * @param folder where the person keeps their files
 * @throws FileFault with every problem: of the room, then of the files that it names
 */
export async function loadWholeRoom(name: string, folder: string): Promise<WholeRoom> {
  const whole = await readWholeRoom(name, folder);
  await tryLogics(playsOf(whole));
  return whole;
}

/** What a room's modules are to play. */
export function playsOf({ seats }: WholeRoom): Play[] {
  return seats.flatMap(({ instrument, rules, choices }) =>
    [rules, ...choices.map((one) => one.rules)].map((own) => ({ instrument, rules: own })),
  );
}

/**
 * The same without starting its modules, which only the thread that plays them can.
 *
 * @param looked gets the room's `looked`, also where this throws
 */
export async function readWholeRoom(
  name: string,
  folder: string,
  looked = new Set<string>(),
): Promise<WholeRoom> {
  const path = await findFile('room', name, folder, (one) => looked.add(one));
  const { value, problems } = readRoom(await readText(path), shown(path));
  const parts = new Parts(folder, looked);
  const seats: (ReadySeat | null)[] = [];
  for (const [i, seat] of value.seats.entries()) seats.push(await readySeat(seat, i, parts));
  const to: (To<OscMessages> | null)[] = [];
  for (const [i, engine] of value.to.entries()) to.push(await readyEngine(engine, i, parts));
  if (parts.complaints.length > 0) {
    throw new FileFault([...problems(parts.complaints), ...parts.inner]);
  }
  const ready = seats.filter((one) => one !== null);
  return {
    room: {
      ...value,
      seats: ready.map(({ seat }) => seat),
      to: to.filter((one) => one !== null),
    },
    seats: ready,
    files: [path, ...parts.files],
    looked: [...looked, ...parts.files],
  };
}

/** What the files that a room names hold, each read once, and what is wrong with them. */
class Parts {
  readonly complaints: Complaint[] = [];
  readonly inner: Problem[] = [];
  readonly files = new Set<string>();
  readonly #read = new Map<string, Promise<unknown>>();

  constructor(
    readonly folder: string,
    readonly looked: Set<string>,
  ) {}

  async load<Value>(
    kind: Kind,
    name: string,
    at: Path,
    parse: (text: string, file: string) => Value | Promise<Value>,
  ): Promise<{ value: Value; path: string } | null> {
    const found = await search(kind, name, this.folder, (path) => this.looked.add(path));
    if (found.path === null) return this.#missing(name, at, found);
    const { path } = found;
    this.files.add(path);
    const known = this.#read.get(`${kind} ${path}`) as Promise<Value> | undefined;
    const value = known ?? readText(path).then((text) => parse(text, shown(path)));
    this.#read.set(`${kind} ${path}`, value);
    try {
      return { value: await value, path };
    } catch (error) {
      if (!(error instanceof FileFault)) throw error;
      if (!known) this.inner.push(...error.problems);
      const fix = `Fix what is said about ${shown(path)} below`;
      const wrong = `"${name}", in which something is wrong`;
      this.complaints.push({ path: at, found: wrong, allowed: 'a file without mistakes', fix });
      return null;
    }
  }

  rules(name: string, at: Path): Promise<{ value: Rules; path: string } | null> {
    return this.load('rules', name, at, async (text, file) => {
      const { rules, files } = await withCode(parseRules(text, file), resolve(file));
      for (const own of files) this.files.add(own);
      return rules;
    });
  }

  async path(file: string, words: string, at: Path): Promise<string | null> {
    const found = await searchPath(resolve(this.folder, file), words);
    return found.path ?? this.#missing(file, at, found);
  }

  #missing(name: string, path: Path, { allowed, fix }: { allowed: string; fix: string }): null {
    this.complaints.push({ path, found: `"${name}"`, allowed, fix });
    return null;
  }
}

async function readySeat(seat: Seat, i: number, parts: Parts): Promise<ReadySeat | null> {
  const at = (key: string): Path => ['seats', i, key];
  const instrument = await parts.load(
    'instrument',
    seat.instrument,
    at('instrument'),
    parseInstrument,
  );
  const build =
    seat.build === null ? null : await parts.load('build', seat.build, at('build'), parseBuild);
  const rules = await parts.rules(seat.rules, at('rules'));
  const choices: RulesSet[] = [];
  for (const [c, name] of (seat.switch?.rules ?? []).entries()) {
    const set = await parts.rules(name, ['seats', i, 'switch', 'rules', c]);
    if (set) choices.push({ name, rules: set.value });
  }
  const from = await readyFrom(seat.from, [...at('from'), 'take'], parts);
  const take = from && (await readyTake(from, [...at('from'), 'take'], parts));
  if (!instrument || !rules || !from || take === undefined || (seat.build !== null && !build))
    return null;
  const wrong = build && misfit(instrument.value, build.value);
  if (wrong) {
    const fix = `Calibrate ${seat.name} again, or name the build of this unit`;
    const found = `"${seat.build ?? ''}", ${wrong.found}`;
    parts.complaints.push({ path: at('build'), found, allowed: wrong.allowed, fix });
  }
  return {
    seat: { ...seat, from },
    instrument: instrument.value,
    build: build?.value ?? null,
    rules: rules.value,
    rulesFile: rules.path,
    choices,
    take,
  };
}

async function readyFrom(from: From, at: Path, parts: Parts): Promise<From | null> {
  if (!('take' in from)) return from;
  const take = await parts.path(from.take, 'a take', at);
  return take === null ? null : { ...from, take };
}

/** Undefined: there is something wrong, which was complained of. */
async function readyTake(
  from: From,
  at: Path,
  parts: Parts,
): Promise<TakeHeader | null | undefined> {
  if (!('take' in from)) return null;
  try {
    return await headerOfTake(from);
  } catch (error) {
    if (!(error instanceof TakeFileFault) && !(error instanceof FileFault)) throw error;
    if (error instanceof FileFault) parts.inner.push(...error.problems);
    const [why = ''] = error.message.split('\n', 1);
    const fix = 'Choose another take, or another seat of it';
    parts.complaints.push({
      path: at,
      found: `a take that cannot be played (${why})`,
      allowed: 'a take',
      fix,
    });
    return undefined;
  }
}

async function readyEngine(to: To, i: number, parts: Parts): Promise<To<OscMessages> | null> {
  if ('osc' in to) {
    const { messages } = to.osc;
    if (typeof messages !== 'string') {
      parts.complaints.push(...templateComplaints(messages, ['to', i, 'osc', 'messages']));
      return { osc: { ...to.osc, messages } };
    }
    const read = await parts.load('engine', messages, ['to', i, 'osc', 'messages'], parseTemplates);
    return read && { osc: { ...to.osc, messages: read.value } };
  }
  if ('midi' in to || to.builtin.soundfont === null) return to;
  const at = ['to', i, 'builtin', 'soundfont'];
  const soundfont = await parts.path(to.builtin.soundfont, 'a SoundFont', at);
  return soundfont === null ? null : { builtin: { ...to.builtin, soundfont } };
}
