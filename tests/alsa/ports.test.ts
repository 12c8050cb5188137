import { describe, expect, it } from 'vitest';
import type { MidiPortList } from '../../src/ports/midi/ports.js';
import type { Notice } from '../../src/ports/contracts.js';
import type { Scan, WireEvent } from '../../src/wire/scan.js';
import type { Seated } from '../../src/time/alongside.js';
import { shareRun, type MachineRun } from './machine.js';

interface Heard {
  readonly wire: string;
  readonly wanted: readonly Scan[];
  readonly got: readonly Scan[];
}
interface Reset {
  readonly why: string;
  /** Milliseconds since the cable was pulled. */
  readonly after: number;
}
/** What inside/ports.mjs writes. */
interface Report {
  readonly names: MidiPortList;
  readonly first: readonly Heard[];
  readonly card: readonly Scan[];
  readonly lost: readonly { wire: string; resets: readonly Reset[] }[];
  readonly again: readonly Heard[];
  readonly quick: { oldAddress: string; newAddress: string; after: number; got: readonly Scan[] };
  readonly own: { got: readonly Scan[]; resets: readonly Reset[] };
  readonly flood: {
    sent: number;
    heard: number;
    whys: readonly string[];
    /** How many resets there were 1.5 s after the first. */
    settled: number;
    last: Scan;
  };
  readonly list: string;
  readonly dump: string;
  readonly told: readonly Notice[];
  readonly none: { code: number; output: string };
}

/** How soon a pulled cable must end what is held, in milliseconds. */
const SOON = 2_000;
const WIRES = ['notes', 'pressure', 'control', 'control-14', 'frames'];

let run: MachineRun;
let report: Report;

shareRun('ports', 240, async (now) => {
  run = now;
  report = (await run.json('ports.json')) as Report;
});

/** Every reading as `input=raw`, in the order in which it came. */
function readings(scans: readonly Scan[]): string[] {
  return scans.flatMap(({ inputs, raws }) =>
    inputs.map((input, i) => `${String(input)}=${String(raws[i])}`),
  );
}

function resetsOf(wire: string): readonly Reset[] {
  return report.lost.find((lost) => lost.wire === wire)!.resets;
}

describe('pads on real ALSA ports', () => {
  it.each(WIRES)('hears a board that sends %s, whole and in order', (wire) => {
    const { wanted, got } = report.first.find((heard) => heard.wire === wire)!;
    expect(readings(wanted)).toHaveLength(6);
    expect(readings(got)).toEqual(readings(wanted));
    const times = got.map(({ t }) => t);
    expect(times).toEqual([...times].sort((a, b) => a - b));
  });

  it('dates frames 4 ms apart that were read 4 ms apart, however they came', () => {
    const { got } = report.first.find(({ wire }) => wire === 'frames')!;
    expect(got[3]!.t - got[0]!.t).toBe(4_000);
  });

  it('hears a raw card to which another program (amidi) writes, running status and all', () => {
    // inside/ports.mjs has amidi send A0 05 2A, A0 06 2B and, without its status byte, 06 00.
    expect(readings(report.card)).toEqual(['5=42', '6=43', '6=0']);
  });

  it('lists the ports by names without numbers, and none of its own', () => {
    const { available, inputs, outputs } = report.names;
    expect(available).toBe(true);
    expect(inputs).toContain('Virtual Raw MIDI 0-1:VirMIDI 0-1');
    expect(inputs).toContain('RtMidi Output Client:paperboard-frames');
    expect(outputs).toContain('Midi Through:Midi Through Port-0');
    expect([...inputs, ...outputs].filter((name) => /\d+:\d+$|RtMidi Input/.test(name))).toEqual(
      [],
    );
  });
});

describe('a pulled cable', () => {
  it.each(WIRES)(`ends what is held on %s within ${String(SOON)} ms, once`, (wire) => {
    const resets = resetsOf(wire);
    expect(resets.map(({ why }) => why)).toEqual(['lost']);
    expect(resets[0]!.after).toBeLessThan(SOON);
  });

  it.each(WIRES)('and plugged in again is heard as before on %s', (wire) => {
    const { wanted, got } = report.again.find((heard) => heard.wire === wire)!;
    expect(readings(got)).toEqual(readings(wanted));
  });

  it('is noticed though the port is back at once with its old name and address', () => {
    const { oldAddress, newAddress, after, got } = report.quick;
    expect(newAddress).toBe(oldAddress);
    expect(after).toBeLessThan(SOON);
    expect(readings(got)).toEqual(['9=99']);
  });

  it('is noticed on a port of our own that the other program joined', () => {
    expect(readings(report.own.got)).toEqual(['4=68']);
    expect(report.own.resets.map(({ why }) => why)).toEqual(['lost']);
    expect(report.own.resets[0]!.after).toBeLessThan(SOON);
  });

  it('is told once, and so is that the port is back', () => {
    for (const wire of WIRES) {
      const of = (what: string): number =>
        report.told.filter((n) => n.where === `seat ${wire}` && n.what.endsWith(what)).length;
      expect([of('in its name'), of('is open'), of('has gone'), of('is open again')]).toEqual([
        1, 1, 1, 1,
      ]);
    }
  });
});

describe('more messages than ALSA can hand over', () => {
  it('end what is held, are told, and leave the port working', () => {
    const { sent, heard, whys, settled, last } = report.flood;
    expect(heard).toBeLessThan(sent);
    expect(new Set(whys)).toEqual(new Set(['overflow']));
    expect(whys).toHaveLength(settled);
    expect(report.told.filter(({ what }) => what.includes('came faster')).length).toBe(settled);
    expect(readings([last])).toEqual(['5=42']);
  });
});

describe('messages to those who join our port', () => {
  it('has a port that aconnect sees, joined to the reader', () => {
    expect(report.list).toMatch(/'pluckwork\s*'\n\tConnecting To: \d+:0/);
  });

  it('says to aseqdump what it says: silence and sounds first, notes, and silence at the end', () => {
    const lines = report.dump
      .split('\n')
      .filter((line) => /^\s*\d+:0\s+(Prog|Note|Contr)/.test(line));
    expect(lines.map((line) => line.replace(/^\s*\d+:0\s+/, '').replace(/\s+/g, ' '))).toEqual([
      'Control change 0, controller 121, value 0',
      'Control change 0, controller 123, value 0',
      'Control change 0, controller 120, value 0',
      'Program change 0, program 33',
      'Control change 0, controller 7, value 127',
      'Control change 0, controller 10, value 64',
      'Note on 0, note 28, velocity 96',
      'Note off 0, note 28, velocity 64',
      'Note on 0, note 33, velocity 1',
      'Note off 0, note 33, velocity 64',
      'Control change 0, controller 123, value 0',
      'Control change 0, controller 120, value 0',
    ]);
  });
});

describe('a computer without ALSA', () => {
  it('is told once, goes on, ends by itself and prints nothing of the library', async () => {
    const none = (await run.json('none.json')) as {
      list: MidiPortList;
      told: Notice[];
      events: Seated<WireEvent>[];
    };
    expect(report.none).toEqual({ code: 0, output: '' });
    expect(none.list).toMatchObject({ available: false, inputs: [], outputs: [] });
    expect(none.told.map(({ what }) => what)).toEqual([
      'this computer has no MIDI system that can be reached',
    ]);
    expect(none.events.map(({ event }) => event)).toMatchObject([{ type: 'reset', why: 'end' }]);
  });
});
