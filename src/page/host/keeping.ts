import { basename, dirname, extname, relative, resolve, sep } from 'node:path';
import { misfit } from '../../instrument/fits.js';
import { parseRules } from '../../instrument/rules.js';
import type { Build, Rules } from '../../instrument/types.js';
import type { Tell } from '../../ports/contracts.js';
import { saveBuild } from '../../ports/files/files.js';
import { homeOf, readText, search, SHIPPED, shown } from '../../ports/files/find.js';
import type { ReadySeat, WholeRoom } from '../../ports/files/room.js';
import { fileTrouble } from '../../ports/files/fault.js';
import { writeInOnePiece } from '../../ports/files/whole-file.js';
import { asOwn, withSeatFile } from './room-text.js';
import { changedRulesText, newRulesText } from './rules-text.js';
import { differentKeys, faultWords } from './try-rules.js';

export interface KeepingOptions {
  readonly folder: string;
  /** As the room was asked for. */
  readonly roomName: string;
  /** As its files say it is now. */
  readonly whole: () => WholeRoom;
  readonly tell: Tell;
}

/** Writes what was found out on a page to the files that the room is played by. */
export interface Keeping {
  /**
   * Writes rules to rules/NAME.yaml and has the room name them for a seat.
   *
   * @param seat its name
   * @param using the name of the rules that the seat plays by so far
   * @returns why not, in words; null: done
   */
  rules(seat: string, name: string, rules: Rules, using: string): Promise<string | null>;
  /** Writes a build, and has the room name it for a seat, which is named too. */
  build(seat: string, name: string, build: Build): Promise<string | null>;
}

export function keeping({ folder, roomName, whole, tell }: KeepingOptions): Keeping {
  /** What this room has written itself. */
  const own = new Set<string>();

  const readySeat = (seat: string): ReadySeat | undefined =>
    whole().seats.find((one) => one.seat.name === seat);
  const isShipped = (path: string): boolean => resolve(path).startsWith(resolve(SHIPPED) + sep);

  async function pathOf(name: string): Promise<string | null> {
    return (await search('rules', name, folder)).path;
  }

  /** The text of rules/NAME.yaml, or why it cannot be that name. */
  async function rulesText(
    seat: string,
    name: string,
    rules: Rules,
    using: string,
  ): Promise<{ path: string; text: string; replace: boolean } | string> {
    const path = homeOf('rules', name, folder);
    const there = await pathOf(name);
    const uses = there !== null && there === (await pathOf(using));
    if (there === null || (own.has(there) && !uses)) {
      const module = rules.logic && relative(dirname(path), resolve(rules.logic.file));
      const logic = module?.split(sep).join('/') ?? null;
      const text = newRulesText({ rules, logic, from: seat });
      return { path, text, replace: there !== null };
    }
    if (isShipped(there)) {
      return `The rules "${name}" come with the program and stay as they are: choose another name`;
    }
    if (!uses) {
      return `There is ${shown(there)} already, and ${seat} does not play by it: choose another name`;
    }
    const was = await readText(there);
    const text = changedRulesText(was, parseRules(was, shown(there)), rules);
    return { path: there, text, replace: true };
  }

  async function keepRules(
    seat: string,
    name: string,
    rules: Rules,
    using: string,
  ): Promise<string | null> {
    const file = await rulesText(seat, name, rules, using);
    if (typeof file === 'string') return file;
    const { path, text, replace } = file;
    const off = differentKeys(parseRules(text, shown(path)), rules).filter(
      (key) => key !== 'logic',
    );
    if (off.length > 0) {
      return `${shown(path)} is written so that it cannot be changed from here: choose another name`;
    }
    const wrong = await write(path, text, replace);
    if (wrong !== null) return wrong;
    own.add(path);
    tell({
      level: 'info',
      what: `The rules were kept as ${shown(path)}`,
      where: `seat ${seat}`,
    });
    return readySeat(seat)?.seat.rules === name ? null : nameIt(seat, 'rules', name);
  }

  async function nameIt(
    seat: string,
    key: 'rules' | 'build',
    name: string,
  ): Promise<string | null> {
    const byHand = `write "${key}: ${name}" at the seat ${seat} yourself`;
    const room = whole().files[0]!;
    const was = await readText(room);
    const shipped = isShipped(room);
    const text = withSeatFile(shipped ? asOwn(was) : was, seat, key, name);
    const to = shipped ? homeOf('room', basename(room, extname(room)), folder) : room;
    if (text === null)
      return `It was kept, but ${shown(to)} cannot be changed from here: ${byHand}`;
    const wrong = await write(to, text, !shipped);
    if (wrong !== null)
      return `It was kept, but the room does not name it: ${wrong}; then ${byHand}`;
    if (shipped) {
      const plays = (await search('room', roomName, folder)).path === to;
      tell({
        level: 'info',
        what: `The room comes with the program, so what was kept is in a copy of it, ${shown(to)}`,
        next: plays
          ? 'That is what plays from now on; change it as you like'
          : 'Play that one next time',
      });
    }
    return null;
  }

  async function write(path: string, text: string, replace: boolean): Promise<string | null> {
    try {
      await writeInOnePiece(path, text, replace);
      return null;
    } catch (error) {
      return `${shown(path)} cannot be written (${fileTrouble(error)}): check that this folder may be written to and has room`;
    }
  }

  /** A file with something wrong in it is no defect of ours. */
  const inWords = async (work: Promise<string | null>): Promise<string | null> => {
    try {
      return await work;
    } catch (error) {
      return faultWords(error);
    }
  };

  return {
    rules: (...wanted) => inWords(keepRules(...wanted)),
    build: (seat, name, build) =>
      inWords(
        (async () => {
          const ready = readySeat(seat);
          if (!ready) return `It was not kept: ${seat} has left the room`;
          const { instrument, seat: written } = ready;
          const wrong = misfit(instrument, build);
          if (wrong) return `It was not kept: found ${wrong.found}, allowed: ${wrong.allowed}`;
          const { earlier } = await saveBuild(build, name, folder);
          if (earlier) tell({ level: 'info', where: `seat ${written.name}`, ...earlier });
          return written.build === name ? null : nameIt(seat, 'build', name);
        })(),
      ),
  };
}
