import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { DOCUMENT_LIMITS } from '../../src/instrument/document.js';
import { MOST_SEATS } from '../../src/instrument/room.js';
import { LIMITS } from '../../src/page/server/limits.js';
import { MOST_NOTES } from '../../src/playing/own-logic-answer.js';
import { PATIENCE, TAKE_PATIENCE } from '../../src/ports/logic/thread.js';
import { NETWORK_PLAN } from '../../src/ports/osc/network-budget.js';
import { MOST_HELD, MOST_HELD_ALL } from '../../src/ports/osc/hand-in.js';
import { MOST_SEATS as MOST_TAKE_SEATS } from '../../src/takes/room-header.js';
import { MOST_INPUTS } from '../../src/takes/take.js';
import { SYSEX_MOST } from '../../src/wire/midi-parser.js';
import { MOST_GAPS } from '../../src/wire/osc-loss.js';
import { OSC_INPUTS } from '../../src/wire/osc-pads.js';
import * as osc from '../../src/wire/osc-shape.js';
import { LONGEST, SHORTEST } from '../../src/wire/steady.js';

const page = readFileSync('SECURITY.md', 'utf8');
const rows = page.split('\n').filter((line) => line.startsWith('| '));
const grouped = (value: number): string => value.toLocaleString('en-US');

/** The row that begins so. */
function row(start: string): string {
  const found = rows.filter((line) => line.startsWith(`| ${start}`));
  expect(found, start).toHaveLength(1);
  return found[0]!;
}

describe('SECURITY.md', () => {
  it('names files that are there', () => {
    const paths = [...page.matchAll(/`((?:src|tests)\/[\w/.-]+)`/g)].map(([, path]) => path!);
    expect(paths.length).toBeGreaterThan(30);
    expect(paths.filter((path) => !existsSync(path))).toEqual([]);
  });

  it.each<[string, readonly (number | string)[]]>([
    [
      'one packet',
      [
        ...[osc.OSC_PACKET_MOST, osc.OSC_MESSAGES_MOST, osc.OSC_ARGS_MOST],
        ...[osc.OSC_ARRAYS_MOST, osc.OSC_DEPTH_MOST],
      ],
    ],
    ['one sender', [NETWORK_PLAN.one.perSecond]],
    ['what each sender has', [NETWORK_PLAN.own.perSecond, NETWORK_PLAN.shared.perSecond]],
    ['inputs of a board', [OSC_INPUTS]],
    ['packets of another computer', [MOST_HELD, MOST_HELD_ALL]],
    ['what is remembered of lost', [MOST_GAPS]],
    ['one system exclusive', [SYSEX_MOST]],
    ['a board that scans', [`${String(SHORTEST / 1_000)} ms`, `${String(LONGEST / 1e6)} s`]],
    ['pages and connections', [LIMITS.pages]],
    ['one message of a page', [LIMITS.messageBytes]],
    [
      'what pages ask for',
      [LIMITS.asks.perSecond, LIMITS.allAsks.perSecond, LIMITS.guestAsks.perSecond],
    ],
    ['a page that does not', [LIMITS.lostMs / 1_000, LIMITS.slowMs / 1_000]],
    [
      'one room, rules',
      [
        ...[DOCUMENT_LIMITS.characters, DOCUMENT_LIMITS.levels, DOCUMENT_LIMITS.signs],
        ...[DOCUMENT_LIMITS.keys, DOCUMENT_LIMITS.references],
      ],
    ],
    ['seats of a room', [MOST_SEATS]],
    ["a take's header", [MOST_INPUTS, MOST_TAKE_SEATS]],
    [
      'a module, one event',
      [`${String(PATIENCE.work)} ms`, `${String(TAKE_PATIENCE.work / 1_000)} s`],
    ],
    ['what a module asks', [MOST_NOTES]],
  ])('says the limits that the code keeps: %s', (start, values) => {
    const words = row(start);
    for (const value of values) {
      const text = typeof value === 'number' ? grouped(value) : value;
      expect(words).toMatch(new RegExp(`(?<![\\d,])${text}(?![\\d,]*\\d)`));
    }
  });
});
