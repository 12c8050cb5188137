import { describe, expect, it } from 'vitest';
import { listMidiPorts } from '../../../src/ports/midi/ports.js';
import { MidiSystem } from '../../../src/ports/midi/system.js';
import { Hall } from './units-hands.js';

const ASK = "nothing tells which of the units that are plugged in is this seat's";
const OTHER = 'the unit that is plugged in is not the one that this seat had';

describe('units of one name that nothing tells apart', () => {
  it('wait until a touch tells, in the order of the room; the last follows by itself', () => {
    const hall = new Hall();
    const [a, b, c] = [hall.plug(null), hall.plug(null), hall.plug(null)];
    hall.play(['north', 'east', 'south']);
    for (const board of [a, b, c]) hall.rest(board);
    expect(hall.events).toEqual([]);
    expect([hall.said('north'), hall.said('east'), hall.said('south')]).toEqual([[ASK], [], []]);
    hall.touch(b);
    expect([a, b, c].map((board) => hall.seatsOf(board))).toEqual([[], [0], []]);
    expect(hall.said('east')).toEqual([ASK]);
    hall.touch(c);
    expect([a, b, c].map((board) => hall.seatsOf(board))).toEqual([[2], [0], [1]]);
    expect(hall.said('south')).toEqual(['the MIDI port "Paperboard:Paperboard MIDI 1" is open']);
    hall.second(5);
    expect(hall.talk.told.filter(({ level }) => level === 'warn')).toHaveLength(2);
  });

  it('play nothing of the touch that gave a seat, and all that follows', () => {
    const hall = new Hall();
    const [a] = [hall.plug(null), hall.plug(null)];
    hall.play(['north', 'south']);
    hall.touch(a);
    const scans = hall.events.map(({ event }) => event);
    expect(scans.length).toBeGreaterThan(0);
    for (const scan of scans) expect(scan).toMatchObject({ raws: [1_200, 1_300] });
    hall.send(a, [2_600, 1_300], 4);
    expect(hall.events.at(-1)!.event).toMatchObject({ raws: [2_600, 1_300] });
  });

  it('are played in the end though a finger stays', () => {
    const hall = new Hall();
    const [a] = [hall.plug(null), hall.plug(null)];
    hall.play(['north', 'south']);
    hall.rest(a);
    hall.send(a, [2_600, 1_300], 1_900);
    expect(hall.events).toEqual([]);
    hall.send(a, [2_600, 1_300], 200);
    expect(hall.events.length).toBeGreaterThan(0);
  });

  it('come back to the seat that lost one, if it is only one', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug(null), hall.plug(null)];
    hall.play(['north', 'east', 'south']);
    hall.touch(a);
    hall.touch(b);
    hall.unplug(a);
    hall.second();
    expect(hall.resets()).toEqual(['0 lost']);
    const again = hall.plug(null);
    hall.second();
    expect([again, b].map((board) => hall.seatsOf(board))).toEqual([[0], [1]]);
    expect(hall.said('north').slice(1)).toEqual([
      'the MIDI port "Paperboard:Paperboard MIDI 1" is open',
      'the MIDI port "Paperboard:Paperboard MIDI 1" has gone',
      'the MIDI port "Paperboard:Paperboard MIDI 1" is open again',
    ]);
  });

  it('have to be touched again where two seats lost theirs', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug(null), hall.plug(null)];
    hall.play(['north', 'south']);
    hall.touch(a);
    for (const board of [a, b]) hall.unplug(board);
    hall.second();
    const back = hall.plug(null);
    hall.second();
    expect(hall.seatsOf(back)).toEqual([]);
    hall.touch(back);
    expect(hall.seatsOf(back)).toEqual([0]);
    const last = hall.plug(null);
    hall.second();
    expect(hall.seatsOf(last)).toEqual([1]);
  });

  it.each(['notes', 'pressure', 'control', 'control-14'] as const)(
    'are told by a touch on a wire that tells only changes: %s',
    (as) => {
      const hall = new Hall();
      const [, b] = [hall.plug(null), hall.plug(null)];
      hall.play(['north', 'south'], { as });
      const port = hall.portOf(b)!;
      const send = (value: number): void => {
        hall.clock.pass(120_000);
        const lsb = [0xb0, 37, 0];
        const messages = {
          notes: [[0x90, 5, value]],
          pressure: [[0xa0, 5, value]],
          control: [[0xb0, 5, value]],
          'control-14': [[0xb0, 5, value], lsb],
        }[as];
        for (const bytes of messages) {
          for (const call of port.listeners) call(0, Uint8Array.from(bytes));
        }
      };
      // A board with 14 bits tells its rest as well.
      if (as === 'control-14') for (let i = 0; i < 5; i++) send(0);
      send(90);
      send(91);
      send(0);
      send(0);
      expect(hall.said('north').at(-1)).toContain('is open');
      hall.clock.pass(1_000_000);
      const before = hall.events.length;
      send(80);
      expect(hall.events.slice(before)).toMatchObject([{ seat: 0, event: { inputs: [5] } }]);
      expect(hall.resets()).toEqual([]);
    },
  );

  it('tell what is wrong with them while they wait, such as a wrong "as:"', () => {
    const hall = new Hall();
    const a = hall.plug(null);
    hall.plug(null);
    hall.play(['north', 'south'], { as: 'pressure' });
    for (const call of hall.portOf(a)!.listeners) call(0, Uint8Array.from([0x90, 60, 100]));
    hall.second(3);
    expect(hall.said('north')).toEqual([
      ASK,
      'this port also sends messages that carry no pad states as "pressure"',
    ]);
  });

  it('are no concern of a seat that has its unit: one too many is told once', () => {
    const hall = new Hall();
    const a = hall.plug(null);
    hall.play(['north']);
    const b = hall.plug(null);
    hall.second(4);
    const spare = hall.talk.told.filter(({ where }) => where === 'MIDI');
    expect(spare.map(({ what }) => what)).toEqual([
      '"Paperboard:Paperboard MIDI 1" is plugged in, but every seat for it has its unit',
    ]);
    hall.unplug(a);
    hall.second();
    expect(hall.seatsOf(b)).toEqual([0]);
  });
});

describe('units with serial numbers', () => {
  it('keep their seats in other sockets, plugged in again in another order', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('A1', 'hub/1'), hall.plug('B2', 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(b);
    expect([a, b].map((board) => hall.seatsOf(board))).toEqual([[1], [0]]);
    for (const board of [a, b]) hall.unplug(board);
    hall.second();
    expect(hall.resets()).toEqual(['1 lost', '0 lost']);
    const a2 = hall.plug('A1', 'hub/2');
    hall.second();
    const b2 = hall.plug('B2', 'hub/1');
    hall.second();
    expect([a2, b2].map((board) => hall.seatsOf(board))).toEqual([[1], [0]]);
    expect(hall.said('north').at(-1)).toBe(
      'the MIDI port "Paperboard:Paperboard MIDI 1" is open again (serial B2, USB socket hub/1)',
    );
  });

  it('keep their seats from one run of the program to the next, without a touch', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('A1', 'hub/1'), hall.plug('B2', 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(b);
    const later = new Hall(hall.memory);
    const [b2, a2] = [later.plug('B2', 'desk/7'), later.plug('A1', 'desk/4')];
    later.play(['north', 'south']);
    expect([a2, b2].map((board) => later.seatsOf(board))).toEqual([[1], [0]]);
    expect(later.said('north')).not.toContain(ASK);
    expect([a, b]).toHaveLength(2);
  });

  it('keep them though another one is put in their place between two looks', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('A1', 'hub/1', 2), hall.plug('B2', 'hub/2', 3)];
    hall.play(['north', 'south']);
    hall.touch(a);
    expect(hall.seatsOf(a)).toEqual([0]);
    // The two change sockets at once: names, cards and addresses are those of the other one.
    for (const board of [a, b]) hall.unplug(board);
    const [b2, a2] = [hall.plug('B2', 'hub/1', 2), hall.plug('A1', 'hub/2', 3)];
    hall.second();
    expect(hall.resets().sort()).toEqual(['0 lost', '1 lost']);
    expect([a2, b2].map((board) => hall.seatsOf(board))).toEqual([[0], [1]]);
  });

  it('do not take the seat of another one without a touch', () => {
    const hall = new Hall();
    const a = hall.plug('A1', 'hub/1');
    hall.play(['north']);
    hall.unplug(a);
    hall.second();
    const spare = hall.plug('C3', 'hub/1');
    hall.second();
    hall.rest(spare);
    expect(hall.seatsOf(spare)).toEqual([]);
    expect(hall.said('north').at(-1)).toBe(OTHER);
    hall.touch(spare);
    expect(hall.seatsOf(spare)).toEqual([0]);
    // The one that comes back finds its seat taken; the seat is the spare's from now on.
    const back = hall.plug('A1', 'hub/2');
    hall.second();
    expect([hall.seatsOf(back), hall.seatsOf(spare)]).toEqual([[], [0]]);
    expect(hall.memory.remembered.map(({ id }) => id.serial)).toEqual(['C3']);
  });

  it('leave the seats of known units that are away to them, as long as there are others', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('A1', 'hub/1'), hall.plug('B2', 'hub/2')];
    hall.play(['north', 'south', 'west']);
    hall.touch(a);
    hall.touch(b);
    hall.unplug(a);
    hall.second();
    const c = hall.plug('C3', 'hub/3');
    hall.second();
    hall.touch(c);
    expect(hall.seatsOf(c)).toEqual([2]);
  });

  it('are left to the seats that are not open here', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('A1', 'hub/1'), hall.plug('B2', 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(a);
    const alone = new Hall(hall.memory);
    const north = alone.plug('A1', 'hub/1');
    alone.play(['south'], { absent: ['north'] });
    alone.touch(north);
    expect(alone.seatsOf(north)).toEqual([]);
    expect(alone.said('south')).toEqual(['only units of other seats are plugged in: north']);
    const south = alone.plug('B2', 'hub/2');
    alone.second();
    expect(alone.seatsOf(south)).toEqual([0]);
    expect([a, b]).toHaveLength(2);
  });
});

describe('units without a serial number', () => {
  it('are known by their sockets', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug(null, 'hub/1'), hall.plug(null, 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(b);
    for (const board of [a, b]) hall.unplug(board);
    hall.second();
    const [a2, b2] = [hall.plug(null, 'hub/1'), hall.plug(null, 'hub/2')];
    hall.second();
    expect([a2, b2].map((board) => hall.seatsOf(board))).toEqual([[1], [0]]);
  });

  it('that moved, one alone, follow; several wait for a touch', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug(null, 'hub/1'), hall.plug(null, 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(a);
    hall.unplug(b);
    hall.second();
    const moved = hall.plug(null, 'hub/3');
    hall.second();
    expect(hall.seatsOf(moved)).toEqual([1]);
    for (const board of [a, moved]) hall.unplug(board);
    hall.second();
    const [x, y] = [hall.plug(null, 'hub/5'), hall.plug(null, 'hub/6')];
    hall.second();
    for (const board of [x, y]) hall.rest(board);
    expect([x, y].map((board) => hall.seatsOf(board))).toEqual([[], []]);
    hall.touch(y);
    expect([x, y].map((board) => hall.seatsOf(board))).toEqual([[1], [0]]);
  });

  it('or all with the same one, are known by their sockets, on the next day too', () => {
    const hall = new Hall();
    const [a, b] = [hall.plug('123456', 'hub/1'), hall.plug('123456', 'hub/2')];
    hall.play(['north', 'south']);
    hall.touch(b);
    expect([a, b].map((board) => hall.seatsOf(board))).toEqual([[1], [0]]);
    const later = new Hall(hall.memory);
    const a2 = later.plug('123456', 'hub/1');
    later.play(['north', 'south']);
    expect(later.seatsOf(a2)).toEqual([1]);
    expect(later.said('south').at(-1)).not.toContain('123456');
  });
});

describe('the list of ports', () => {
  it('says what tells units of one name apart', () => {
    const hall = new Hall();
    hall.plug('A1', 'hub/1');
    hall.plug(null, 'hub/2');
    hall.plug(null);
    const { inputs, marks } = listMidiPorts(new MidiSystem(hall.midi));
    expect(new Set(inputs)).toEqual(new Set(['Paperboard:Paperboard MIDI 1']));
    expect(marks).toEqual(['serial A1, USB socket hub/1', 'USB socket hub/2', '']);
  });
});

describe('closing', () => {
  it('lets go of units that wait as well', async () => {
    const hall = new Hall();
    hall.plug(null);
    hall.plug(null);
    hall.play(['north', 'south']);
    await hall.source!.close();
    expect(hall.midi.ports.every(({ destroyed }) => destroyed)).toBe(true);
    expect(hall.resets()).toEqual(['0 end', '1 end']);
  });
});
