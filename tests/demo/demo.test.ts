import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { Chord, Note, Scale } from 'tonal';
import { describe, expect, it } from 'vitest';
import { padCount, parseInstrument } from '../../src/instrument/instrument.js';
import { pitchName } from '../../src/instrument/pitch.js';
import type { Instrument } from '../../src/instrument/types.js';
import type { SeatPlan } from '../../src/pipeline.js';
import { DEMO_LENGTH, demoPart, demoReadings, demoTune } from '../../src/demo/demo.js';
import { rerun } from '../../src/takes/rerun.js';
import type { VoiceEvent } from '../../src/room/voice.js';
import { BASS, bassPlan, PLAIN } from '../support/bass.js';

function play(instrument: Instrument = BASS, plan: SeatPlan = bassPlan()): VoiceEvent[] {
  const heard: VoiceEvent[] = [];
  rerun(demoReadings(instrument, padCount(instrument)), plan, (_seat, _t, error) => {
    throw error as Error;
  }).subscribe((event) => heard.push(event));
  return heard;
}

const BEAT = 1_000_000 / 1.8;

describe('the demo', () => {
  it('plays its tune through the whole way, uncalibrated: every note, in order, in time', () => {
    const ons = play().filter((event) => event.type === 'on');
    const tune = demoTune();
    expect(ons.map(({ note }) => note)).toEqual(tune.map(({ note }) => note));
    const late = ons.map(({ t }, i) => t - (1_000_000 + tune[i]!.beat * BEAT));
    // The finger lands within 8 ms, scans are 4 ms apart, and one more reading is waited for.
    for (const micros of late) {
      expect(micros).toBeGreaterThan(0);
      expect(micros).toBeLessThanOrEqual(16_000);
    }
  });

  it('stays within the bass: E1 to B2', () => {
    for (const { note } of demoTune()) {
      expect(note).toBeGreaterThanOrEqual(28);
      expect(note).toBeLessThanOrEqual(47);
    }
  });

  it('is the same each time', () => {
    expect(play()).toEqual(play());
  });

  it('reads on the bass as it always did, byte for byte, so that what was recorded of it stays true', () => {
    const readings = JSON.stringify([...demoReadings(BASS, 20)]);
    expect(createHash('sha256').update(readings).digest('hex')).toBe(
      '0c7860609dc63901f7eefa1488badba098dd483885297b513cea1e3b5a38dfa0',
    );
  });
});

const folder = new URL('../../config/instruments/', import.meta.url);
const shipped = readdirSync(folder).map((file): [string, Instrument] => [
  file.replace('.yaml', ''),
  parseInstrument(readFileSync(new URL(file, folder), 'utf8'), file),
]);
const planOf = (instrument: Instrument): SeatPlan => ({
  instrument,
  rules: PLAIN,
  pads: { pads: padCount(instrument), build: null, full: 16_383, decided: false },
});

describe.each(shipped)('the demo on %s', (_name, instrument) => {
  const part = demoPart(instrument);
  const heard = play(instrument, planOf(instrument));

  it('plays every note of its part through the whole way, and no other', () => {
    const inOrder = (all: { at: number; note: number }[]) =>
      all.sort((a, b) => a.at - b.at || a.note - b.note);
    // To the sixteenth: chords come together, whatever order their keys are told in.
    const wanted = inOrder(part.map(({ beat, note }) => ({ at: Math.round(4 * beat), note })));
    const ons = heard.filter((event) => event.type === 'on');
    const sounded = ons.map(({ t, note }) => ({
      at: Math.round((4 * (t - 1_000_000)) / BEAT),
      note,
    }));
    expect(inOrder(sounded)).toEqual(wanted);
    expect(part.length).toBeGreaterThan(20);
  });

  it('is in time: within 25 ms of its beat', () => {
    for (const on of heard) {
      if (on.type !== 'on') continue;
      const apart = part.map(({ beat, note }) =>
        note === on.note ? Math.abs(on.t - (1_000_000 + beat * BEAT)) : Infinity,
      );
      expect(Math.min(...apart)).toBeLessThanOrEqual(25_000);
    }
  });

  it('ends all that it began, before the recording ends', () => {
    expect(heard.filter(({ type }) => type === 'off')).toHaveLength(
      heard.filter(({ type }) => type === 'on').length,
    );
    expect(heard.at(-1)).toMatchObject({ type: 'silence' });
    expect(heard.at(-1)!.t).toBeLessThanOrEqual(DEMO_LENGTH);
  });
});

describe('the demos of a room', () => {
  const pitched = shipped.filter(([, { kind }]) => kind !== 'hits');

  it('are one piece in E minor, by a music library; the bass passes F and F# on its way', () => {
    const scale = Scale.get('E minor').notes.map((name) => Note.chroma(name));
    for (const [name, instrument] of pitched) {
      const outside = demoPart(instrument).filter(({ note }) => !scale.includes(note % 12));
      expect(
        outside.map(({ beat, note }) => [beat, pitchName(note)]),
        name,
      ).toEqual(instrument.kind === 'strings' && name.startsWith('bass') ? [[15.5, 'F2']] : []);
    }
  });

  it('play the same two chords a bar: keys and broken chords begin each with its notes', () => {
    // What the piece is written on. A minor chord may have its seventh.
    const chords = 'Em Em Em Em Am Am Am Am C Am Am C Bm Em Em Em'.split(' ');
    for (const [name, instrument] of pitched) {
      if (instrument.kind === 'holes' || name.startsWith('bass')) continue;
      let begun = 0;
      chords.forEach((chord, half) => {
        const tones = Chord.get(chord.endsWith('m') ? `${chord}7` : chord).notes;
        const first = demoPart(instrument).filter(({ beat }) => beat === 2 * half);
        if (first.length > 0) begun += 1;
        for (const { note } of first) {
          expect(tones.map((tone) => Note.chroma(tone))).toContain(note % 12);
        }
      });
      expect(begun, name).toBeGreaterThanOrEqual(12);
    }
  });

  it('are all as long', () => {
    for (const [, instrument] of shipped) {
      const last = Math.max(...demoPart(instrument).map(({ beat }) => beat));
      expect(last).toBeGreaterThanOrEqual(28);
      expect(last).toBeLessThan(32);
    }
  });
});

describe('an instrument of one’s own', () => {
  it('has the part in the octave that it can play', () => {
    const low: Instrument = {
      name: 'low',
      kind: 'keys',
      sound: 1,
      keys: Array.from({ length: 13 }, (_, i) => ({ note: 36 + i, pad: i })),
    };
    const part = demoPart(low);
    const all = demoPart(shipped.find(([name]) => name === 'keys-13')![1]);
    expect(part.map(({ note }) => note + 24)).toEqual(all.map(({ note }) => note));
  });

  it('leaves out what it has not, and plays other drums instead', () => {
    const three: Instrument = {
      name: 'three',
      kind: 'keys',
      sound: 1,
      keys: ['E4', 'G4', 'B4'].map((name, pad) => ({ note: Note.midi(name)!, pad })),
    };
    const notes = demoPart(three).map(({ note }) => note);
    expect([...new Set(notes)].sort()).toEqual([64, 67, 71]);
    const clap: Instrument = { name: 'clap', kind: 'hits', sound: 1, hits: [{ drum: 39, pad: 0 }] };
    expect(demoPart(clap).every(({ note }) => note === 39)).toBe(true);
    expect(play(clap, planOf(clap)).some(({ type }) => type === 'on')).toBe(true);
  });

  it('is played though it has nothing of the tune', () => {
    const none: Instrument = {
      name: 'none',
      kind: 'keys',
      sound: 1,
      keys: [{ note: 61, pad: 0 }],
    };
    expect(demoPart(none)).toEqual([]);
    expect(play(none, planOf(none)).map(({ type }) => type)).toEqual(['silence']);
  });
});
