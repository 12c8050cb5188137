import { describe, expect, it } from 'vitest';
import { parseInstrument } from '../../src/instrument/instrument.js';
import { parseBuild } from '../../src/instrument/build.js';
import { openTake } from '../../src/takes/read.js';
import { allOf } from '../support/takes.js';
import { BASS } from '../support/bass.js';
import { GRADE_NAMES } from './grades.js';
import { simulate, takeText, wantedText } from './session.js';
import { mean } from './statistics.js';
import { TUNES } from './tunes.js';

const TUNE = TUNES[4]!;

describe('a simulated session', () => {
  it('is the same text for the same seed, and another for another', () => {
    const texts = [1, 1, 2].map((seed) => {
      const session = simulate({ grade: 'worst', seed }, TUNE);
      return [takeText(session.calibration), takeText(session.take), wantedText(session.wanted)];
    });
    expect(texts[1]).toEqual(texts[0]);
    texts[2]!.forEach((text, i) => {
      expect(text).not.toBe(texts[0]![i]);
    });
  });

  it('writes takes that read back as they are, with the whole instrument and the wiring', async () => {
    const { calibration, take, unit } = simulate({ grade: 'usual', seed: 3 }, TUNE);
    for (const one of [calibration, take]) {
      const { header, events } = await openTake(takeText(one));
      const problems: unknown[] = [];
      expect(await allOf(events((problem) => problems.push(problem)))).toEqual(one.scans);
      expect(problems).toEqual([]);
      expect(header).toMatchObject({ take: 1, inputs: 20, full: 16_383, wiring: unit.wiring });
      const instrument = parseInstrument(JSON.stringify(header.instrument), 'take');
      expect(instrument).toEqual({ ...BASS, name: instrument.name });
    }
    const build = parseBuild(JSON.stringify(calibration.header.build), 'take');
    expect(build.wiring).toEqual(unit.wiring);
  });

  it('calibrates by two seconds of nothing, then each pad twice, one at a time', () => {
    for (const grade of GRADE_NAMES) {
      const { contacts } = simulate({ grade, seed: 4 }, TUNE).calibration;
      expect(Math.min(...contacts.map(({ at }) => at))).toBeGreaterThan(2_000_000);
      for (let pad = 0; pad < 20; pad++) {
        const own = contacts.filter((one) => one.pad === pad);
        expect(own).toHaveLength(2);
        expect(own[0]!.peak).not.toBe(own[1]!.peak);
      }
      contacts.slice(1).forEach(({ at }, i) => {
        expect(at - contacts[i]!.until).toBeGreaterThan(200_000);
      });
    }
  });

  it('calibrates in rounds, in any order, once, or with a finger left on a pad', () => {
    const ask = (calibrating: Parameters<typeof simulate>[0]['calibrating'] & object) =>
      simulate({ grade: 'clean', seed: 5, calibrating }, 1).calibration.contacts;
    const printed = Array.from({ length: 20 }, (_, pad) => pad);
    expect(ask({ touches: 1 }).map(({ pad }) => pad)).toEqual(printed);
    expect(ask({ again: 'round' }).map(({ pad }) => pad)).toEqual([...printed, ...printed]);
    expect(ask({ touches: 1, order: 'any' }).map(({ pad }) => pad)).not.toEqual(printed);
    const [finger] = ask({ fingerOn: 6 });
    expect(finger!.pad).toBe(6);
    expect(finger!.at).toBeLessThan(0);
    expect(finger!.until).toBe(3_000_000);
  });

  it('goes on drifting through the gap into the take', () => {
    const { unit, calibration, take } = simulate({ grade: 'worst', seed: 6 }, TUNE);
    expect(take.begins - calibration.length).toBe(20_000_000);
    for (const one of [calibration, take]) {
      const still = one.scans.filter(({ t }) => t > 200_000 && t <= 1_200_000);
      for (let pad = 0; pad < 20; pad++) {
        const input = unit.wiring.indexOf(pad);
        const seen = mean(still.map(({ raws }) => raws[input]!));
        const wanted = unit.rest[pad]! + unit.drift[pad]!((one.begins + 700_000) / 1_000_000);
        expect(Math.abs(seen - wanted)).toBeLessThan(4);
      }
    }
  });

  it('writes what was wanted as notes by time, each on with its strength and its own off', () => {
    const { wanted } = simulate({ grade: 'clean', seed: 7 }, TUNES[5]!);
    const lines = wantedText(wanted)
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, number | string>);
    expect(lines).toHaveLength(2 * wanted.length);
    lines.slice(1).forEach((line, i) => {
      expect(line.t).toBeGreaterThanOrEqual(lines[i]!.t as number);
    });
    const ons = lines.filter(({ type }) => type === 'on');
    expect(ons.map(({ t, note }) => [t, note])).toEqual(wanted.map(({ t, note }) => [t, note]));
    for (const { t, voice, note, strength, velocity } of ons) {
      expect(velocity).toBe(Math.round(127 * (strength as number)));
      const offs = lines.filter((line) => line.type === 'off' && line.voice === voice);
      expect(offs).toHaveLength(1);
      expect(offs[0]!.note).toBe(note);
      expect(offs[0]!.t).toBeGreaterThan(t as number);
    }
  });

  it('lets nobody play for as long as is asked', () => {
    const { take, wanted } = simulate({ grade: 'worst', seed: 8 }, 60_000_000);
    expect(wanted).toEqual([]);
    expect(take.contacts).toEqual([]);
    expect(take.scans.length / 250).toBeCloseTo(60, 0);
  });
});
