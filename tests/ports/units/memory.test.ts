import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fileMemory } from '../../../src/ports/units/memory.js';
import { listener } from '../midi/fake.js';
import { Hall } from '../midi/units-hands.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'pluckwork-units-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

const path = (): string => join(folder, 'units.jsonl');
const id = (serial: string | null, socket = 'hub/1') => ({
  usb: '1209:a1b2',
  serial,
  socket,
  midi: '0:0',
});

describe('the file of units', () => {
  it('is a line a unit, read again as it was written, and nothing beside it', () => {
    const { tell, told } = listener();
    const memory = fileMemory(folder, tell);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    memory.keep('south', 'paper', 'Paperboard', id(null, 'hub/2'));
    memory.keepAlike(['1209:a1b2 123456']);
    expect(readFileSync(path(), 'utf8').split('\n')).toEqual([
      '{"seat":"north","port":"Paperboard","usb":"1209:a1b2","serial":"A1","socket":"hub/1","midi":"0:0"}',
      '{"seat":"south","port":"Paperboard","usb":"1209:a1b2","serial":null,"socket":"hub/2","midi":"0:0"}',
      '{"alike":"1209:a1b2 123456"}',
      '',
    ]);
    expect(readdirSync(folder)).toEqual(['units.jsonl']);
    const again = fileMemory(folder, tell);
    expect(again.remembered).toEqual(memory.remembered);
    expect([...again.alike]).toEqual([...memory.alike]);
    expect(told).toEqual([]);
  });

  it('keeps one unit a seat, and one seat a unit', () => {
    const memory = fileMemory(folder, listener().tell);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    memory.keep('north', 'paper', 'Paperboard', id('B2'));
    memory.keep('south', 'paper', 'Paperboard', id('B2'));
    expect(memory.remembered.map(({ seat, id: { serial } }) => [seat, serial])).toEqual([
      ['south', 'B2'],
    ]);
  });

  it('keeps what a seat of that name in another room has, on units of another name', () => {
    const memory = fileMemory(folder, listener().tell);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    memory.keep('north', 'foil', 'Foilboard', id('F1'));
    expect(memory.remembered).toHaveLength(2);
  });

  it.each([
    ['a cut-off line', '{"seat":"north","po', 1],
    ['a line that is no such thing', '{"seat":7}\n[]\nnull', 3],
    ['bytes that are no text', '\u0000\uFFFD\u0007', 1],
  ])('is used as far as it goes: %s', (_what, damage, lines) => {
    fileMemory(folder, listener().tell).keep('south', 'paper', 'Paperboard', id('B2'));
    writeFileSync(path(), `${readFileSync(path(), 'utf8')}${damage}`);
    const { told, tell } = listener();
    const memory = fileMemory(folder, tell);
    expect(memory.remembered.map(({ seat }) => seat)).toEqual(['south']);
    expect(told).toHaveLength(1);
    expect(told[0]!.what).toMatch(lines === 1 ? /^a line is damaged/ : /^3 lines are damaged/);
    expect(told[0]!.where).toMatch(/units\.jsonl:2$/);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    expect(fileMemory(folder, tell).remembered).toHaveLength(2);
    expect(told).toHaveLength(1);
  });

  it('is told of once where it cannot be read or written, and remembered meanwhile', () => {
    mkdirSync(path());
    const { told, tell } = listener();
    const memory = fileMemory(folder, tell);
    expect(told.map(({ what }) => what)).toEqual([
      'which unit plays at which seat could not be read: it is a folder',
    ]);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    memory.keep('south', 'paper', 'Paperboard', id('B2'));
    expect(told).toHaveLength(2);
    expect(told[1]!.what).toContain('could not be kept');
    expect(memory.remembered).toHaveLength(2);
  });

  it('forgets the units of a room when asked to, and only those', () => {
    const memory = fileMemory(folder, listener().tell);
    memory.keep('north', 'paper', 'Paperboard', id('A1'));
    memory.keep('attic', 'paper', 'Paperboard', id('B2'));
    memory.forget(['north', 'south']);
    expect(fileMemory(folder, listener().tell).remembered.map(({ seat }) => seat)).toEqual([
      'attic',
    ]);
  });

  it('serves a room on the next day', () => {
    const today = new Hall(fileMemory(folder, listener().tell));
    const [, b] = [today.plug('A1', 'hub/1'), today.plug('B2', 'hub/2')];
    today.play(['north', 'south']);
    today.touch(b);
    const next = new Hall(fileMemory(folder, listener().tell));
    const [a2, b2] = [next.plug('A1', 'desk/1'), next.plug('B2', 'desk/2')];
    next.play(['north', 'south']);
    expect([a2, b2].map((board) => next.seatsOf(board))).toEqual([[1], [0]]);
  });
});
