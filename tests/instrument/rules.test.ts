import { Note, Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { FileFault } from '../../src/instrument/fault.js';
import { nearest } from '../../src/instrument/near.js';
import { parseRoom } from '../../src/instrument/room.js';
import { describeRules, parseRules, PLAIN } from '../../src/instrument/rules.js';

/** How a rules file that is refused for one thing can be fixed. */
function refusal(text: string): string {
  try {
    parseRules(text, 'a.yaml');
  } catch (error) {
    if (error instanceof FileFault && error.problems.length === 1) return error.problems[0]!.fix;
    throw error;
  }
  return 'nothing';
}

describe('a rules file', () => {
  it('changes what it names and leaves the rest plain', () => {
    const text = 'touch: { lift: 20ms }\nstrings: { damp-by-hold: 400ms, ring: 1.5s }\n';
    expect(parseRules(text, 'kit/rules/calm.yaml')).toEqual({
      ...PLAIN,
      name: 'calm',
      touch: { ...PLAIN.touch, lift: 20_000 },
      strings: { ...PLAIN.strings, 'damp-by-hold': 400_000, ring: 1_500_000 },
    });
  });

  it('is called by its file unless it says otherwise', () => {
    expect(parseRules('{}', 'kit/rules/calm.v2.yaml').name).toBe('calm.v2');
    expect(parseRules('name: Slow hands', 'calm.yaml').name).toBe('Slow hands');
  });

  it('gives the curve of velocity as a number, a word or a table', () => {
    const curve = (text: string): unknown =>
      parseRules(`velocity:\n  curve: ${text}\n`, 'a.yaml').velocity.curve;
    expect(curve('0.5')).toBe(0.5);
    expect(curve('square')).toBe('square');
    expect(curve('[[0, 20], [0.5, 90], [1, 127]]')).toEqual([
      [0, 20],
      [0.5, 90],
      [1, 127],
    ]);
    expect(curve('\n    - [0.1, 64]\n    - [0.9, 64]')).toEqual([
      [0.1, 64],
      [0.9, 64],
    ]);
  });

  it('is told of an end of touches that its beginning allows, whatever that is', () => {
    for (let on = 0.01; on < 0.99; on += 0.013) {
      const touch = (off: string): string => `touch: { on: ${String(on)}, off: ${off} }`;
      const fault = refusal(touch('0.99'));
      const off = /^Lower off, to about (0\.\d+), or raise on$/.exec(fault)?.[1] ?? 'nothing';
      expect(parseRules(touch(off), 'a.yaml').touch.off).toBe(Number(off));
    }
  });

  it('can be described a line a key', () => {
    const lines = describeRules(parseRules('strings: { damp-by-hold: 400ms }', 'a.yaml'));
    const value = (key: string): string | undefined => lines.find((one) => one.key === key)?.value;
    expect(value('touch.lift')).toBe('24ms');
    expect(value('strings.damp-by-hold')).toBe('400ms');
    expect(value('strings.stop')).toBe('highest');
    expect(value('velocity.softest')).toBe('20');
    expect(describeRules().find(({ key }) => key === 'strings.damp-by-hold')?.value).toBe('never');
    expect(value('velocity.curve')).toBe('1');
    const own = describeRules(parseRules('velocity: { curve: [[0, 9], [0.5, 80]] }', 'a.yaml'));
    expect(own.find(({ key }) => key === 'velocity.curve')?.value).toBe('[[0, 9], [0.5, 80]]');
  });
});

describe('a room file', () => {
  const seat = (more: string): string => `seats: [{ name: a, instrument: b, ${more} }]\n`;

  it('fills in what is left out', () => {
    expect(parseRoom(seat('from: { virtual: pads, as: control-14 }'), 'a')).toEqual({
      seats: [
        {
          name: 'a',
          instrument: 'b',
          build: null,
          from: { virtual: 'pads', as: 'control-14' },
          rules: 'plain',
          level: 0.8,
          pan: 0,
          mute: false,
          solo: false,
          lead: false,
          sound: null,
          switch: null,
          steady: null,
        },
      ],
      voices: 64,
      scale: null,
      duck: 9,
      control: null,
      to: [{ builtin: { soundfont: null, seed: 1, ceiling: { peak: -1, loudness: -16 } } }],
    });
  });

  it('says how each seat sounds among the others', () => {
    const { seats, voices, duck } = parseRoom(
      `voices: 12\nduck: 4.5\n${seat('from: { player: demo }, pan: -0.5, mute: true, solo: true, lead: true, sound: 13')}`,
      'a',
    );
    expect(seats[0]).toMatchObject({ pan: -0.5, mute: true, solo: true, lead: true, sound: 13 });
    expect([voices, duck]).toEqual([12, 4.5]);
  });

  it('gives a scale as its pitch classes: by name from its key, or by its notes', () => {
    const scaleOf = (text: string): unknown =>
      parseRoom(text + seat('from: { player: demo }'), 'a').scale;
    // Pitch classes of the scales as tonal, a music library, spells them.
    const classes = (name: string): number[] =>
      Scale.get(name)
        .notes.map((note) => Note.chroma(note))
        .sort((a, b) => a - b);
    expect(scaleOf('scale: major\n')).toEqual(classes('C major'));
    expect(scaleOf('key: E\nscale: minor\n')).toEqual(classes('E minor'));
    expect(scaleOf('key: Bb\nscale: Minor Pentatonic\n')).toEqual(classes('Bb minor pentatonic'));
    expect(scaleOf('key: F#\nscale: dorian\n')).toEqual(classes('F# dorian'));
    expect(scaleOf('scale: [G, C, Bb, C]\n')).toEqual([0, 7, 10]);
    // The notes are as they are, whatever the key.
    expect(scaleOf('key: D\nscale: [D, E, A]\n')).toEqual([2, 4, 9]);
  });

  it('is told of a scale that there is not', () => {
    const fix = (text: string): string => {
      try {
        parseRoom(text + seat('from: { player: demo }'), 'a');
      } catch (error) {
        return (error as FileFault).message;
      }
      return 'nothing';
    };
    expect(fix('scale: majr\n')).toContain('major, say');
    expect(fix('scale: E minor\n')).toContain('"key: E" and "scale: minor"');
    expect(fix('scale: [H]\n')).toContain('a note name without its octave');
    expect(fix('key: E4\n')).toContain('a note name without its octave');
  });

  it('keeps OSC messages by name or as they are', () => {
    const to = [
      'to:',
      '  - osc: { host: 10.0.0.2, port: 57120, messages: by-string, ahead: 20ms }',
      '  - osc: { host: "::1", port: 1, messages: { on: /a, off: /b, silence: /c }, ahead: never }',
      '  - midi: { port: synth, channels: string }',
      '  - builtin: { soundfont: sounds/bass.sf2, seed: 7 }',
    ].join('\n');
    expect(parseRoom(seat('from: { osc: 9000, full: 1023 }') + to, 'a').to).toEqual([
      { osc: { host: '10.0.0.2', port: 57120, messages: 'by-string', ahead: 20_000 } },
      {
        osc: {
          host: '::1',
          port: 1,
          messages: { on: '/a', off: '/b', silence: '/c' },
          ahead: null,
        },
      },
      { midi: { port: 'synth', channels: 'string', ceiling: { velocity: 127, volume: 127 } } },
      { builtin: { soundfont: 'sounds/bass.sf2', seed: 7, ceiling: { peak: -1, loudness: -16 } } },
    ]);
  });
});

describe('nearest', () => {
  it('forgives a slip, letters exchanged, and other ways to join words', () => {
    const words = ['hammer-on', 'pull-off', 'slide', 'open'];
    expect(nearest('hamer-on', words)).toBe('hammer-on');
    expect(nearest('Hammer On', words)).toBe('hammer-on');
    expect(nearest('pull_off', words)).toBe('pull-off');
    expect(nearest('opne', words)).toBe('open');
  });

  it('offers nothing where nothing is near', () => {
    expect(nearest('colour', ['hammer-on', 'slide'])).toBeUndefined();
    expect(nearest('', ['slide'])).toBeUndefined();
    expect(nearest('x', [])).toBeUndefined();
  });
});
