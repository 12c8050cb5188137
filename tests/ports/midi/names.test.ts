import { describe, expect, it } from 'vitest';
import { readJoins } from '../../../src/ports/midi/joins.js';
import { meant, portsNamed, readPorts } from '../../../src/ports/midi/names.js';

describe('port names', () => {
  it('splits what ALSA gives into a name and an address', () => {
    expect(readPorts(['Virtual Raw MIDI 0-0:VirMIDI 0-0 16:0', 'Board 2'])).toEqual([
      {
        index: 0,
        name: 'Virtual Raw MIDI 0-0:VirMIDI 0-0',
        id: 'Virtual Raw MIDI 0-0:VirMIDI 0-0 16:0',
        address: '16:0',
      },
      { index: 1, name: 'Board 2', id: 'Board 2', address: undefined },
    ]);
  });

  it('tells ports of one name apart, and keeps the place of those after one that went', () => {
    const ports = readPorts(['Board', '', 'Board']);
    expect(ports.map(({ index, id }) => [index, id])).toEqual([
      [0, 'Board'],
      [2, 'Board #2'],
    ]);
  });

  it('puts a port whose whole name was given first', () => {
    const ports = readPorts(['Board extra', 'Board', 'Other']);
    expect(portsNamed('board', ports).map(({ name }) => name)).toEqual(['Board', 'Board extra']);
  });

  it.each([
    ['papperboard', 'Paperboard'],
    ['foliboard', 'Foilboard'],
    ['trombone', undefined],
  ])('guesses what was meant by %s', (part, wanted) => {
    expect(meant(part, ['Paperboard:Paperboard MIDI 1', 'Foilboard:MIDI 1'])).toBe(wanted);
  });
});

describe('who is joined to whom', () => {
  // After what Linux 6.1 prints (tests/alsa checks the real one against aconnect); [real:0] marks a
  // join that asks for times (from memory: the kernel's seq_clientmgr.c).
  const CLIENTS = `Client info
  cur  clients : 9

Client   0 : "System" [Kernel Legacy]
  Port   0 : "Timer" (Rwe-)
Client  14 : "Midi Through" [Kernel Legacy]
  Port   0 : "Midi Through Port-0" (RWe-)
    Connecting To: 129:0, 130:1[real:0]
Client 129 : "RtMidi Input Client" [User Legacy]
  Port   0 : "RtMidi Input" (-We-)
    Connected From: 14:0
  Output pool :
    Pool size          : 500
    Alloc failures     : 3
  Input pool :
    Pool size          : 200
    Alloc failures     : 12104
Client 130 : "RtMidi Input Client" [User Legacy]
  Port   0 : "pads" (-We-)
  Port   1 : "more" (-We-)
    Connected From: 14:0[real:0]
`;

  it('reads the list that ALSA keeps', () => {
    const read = [...readJoins(CLIENTS)];
    expect(read.map(([port, { peers, missed }]) => [port, [...peers], missed])).toEqual([
      ['0:0', [], 0],
      ['14:0', ['129:0', '130:1'], 0],
      ['129:0', ['14:0'], 12104],
      ['130:0', [], 0],
      ['130:1', ['14:0'], 0],
    ]);
  });
});
