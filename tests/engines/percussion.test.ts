import { readFileSync } from 'node:fs';
import { SoundBankLoader } from 'spessasynth_core';
import { expect, it } from 'vitest';
import { parseInstrument } from '../../src/instrument/instrument.js';
import type { HitsInstrument } from '../../src/instrument/types.js';

/* The General MIDI set of Debian's package timgm6mb-soundfont: others' reading of the same standard. */
const FONT = '/usr/share/sounds/sf2/TimGM6mb.sf2';
const bank = SoundBankLoader.fromArrayBuffer(Uint8Array.from(readFileSync(FONT)).buffer);
const shipped = (name: string) =>
  parseInstrument(
    readFileSync(new URL(`../../config/instruments/${name}.yaml`, import.meta.url), 'utf8'),
    name,
  );

it('the drum set’s numbers are those sounds in a General MIDI set', () => {
  const kit = bank.presets.find(({ isGMGSDrum, program }) => isGMGSDrum && program === 0)!;
  const { hits } = shipped('drums-6') as HitsInstrument;
  const samples = hits.map(({ drum }) => kit.getVoiceParameters(drum, 100)[0]!.sample.name);
  const meant = [/bass drum/i, /snare/i, /hat.*closed/i, /open.*hat/i, /tom/i, /crash/i];
  samples.forEach((sample, i) => expect(sample).toMatch(meant[i]!));
  expect(samples).toHaveLength(meant.length);
});

it.each([
  ['bass-4x4', /bass/i],
  ['ukulele-4x6', /nylon guitar/i],
  ['keys-13', /piano/i],
  ['pipe-8', /recorder/i],
  ['pipe-8-finger', /recorder/i],
])('the sound of %s is what a General MIDI set has there, counted from 1', (name, meant) => {
  const { sound } = shipped(name);
  const preset = bank.presets.find(
    ({ isGMGSDrum, bankMSB, program }) => !isGMGSDrum && bankMSB === 0 && program === sound - 1,
  )!;
  expect(preset.name).toMatch(meant);
});
