import { seededNumbers } from '../../../src/demo/gestures.js';
import type { AnyMidiWireCodec } from '../../../src/wire/midi-codec.js';

type Random = () => number;

/**
 * The next bytes of a bad MIDI cable: noise, messages of every kind cut and mixed, SysEx without end, and
 * now and then a scan of a player's pads, whole or with a few bytes wrong, so that there is something to
 * end. The state is the random numbers'.
 */
export function midiBytes(codec: AnyMidiWireCodec, random: Random): () => Uint8Array {
  const below = (most: number): number => Math.floor(random() * most);
  const bytes = (count: number, from = 0, to = 256): number[] =>
    Array.from({ length: count }, () => from + below(to - from));
  const touched = new Array<boolean>(20).fill(false);
  let sent = 0;

  function scan(): number[] {
    for (let n = below(3); n > 0; n--) touched[below(20)] = random() < 0.5;
    const raws = touched.map((is) => Math.floor(codec.full * (is ? 0.5 + 0.4 * random() : 0.06)));
    const messages = codec.encode(
      { type: 'scan', t: 0, inputs: touched.map((_, i) => i), raws },
      sent,
    );
    sent += messages.length;
    return messages.flatMap((message) => [...message]);
  }

  function spoilt(good: number[]): number[] {
    for (let n = 1 + below(4); n > 0; n--) {
      good.splice(below(good.length + 1), below(3), ...bytes(below(2)));
    }
    return good;
  }

  return () => {
    const what = below(12);
    if (what < 5) return Uint8Array.from(scan());
    if (what < 7) return Uint8Array.from(spoilt(scan()));
    if (what < 9) {
      const messages = Array.from({ length: 1 + below(8) }, () => {
        return [128 + below(128), ...bytes(below(4), 0, 128)];
      });
      return Uint8Array.from(messages.flat());
    }
    if (what === 9) return Uint8Array.from([0xf0, ...bytes(below(900), 0, 128)]);
    if (what === 10) return Uint8Array.from(bytes(1 + below(12), 0xf0, 0x100));
    return Uint8Array.from(bytes(1 + below(200)));
  };
}

/** The same numbers for the same seed; zero is a seed too. */
export function numbersOf(seed: number): Random {
  const random = seededNumbers(Math.imul(seed + 1, 0x9e3779b1) ^ 0x2545f491);
  for (let i = 0; i < 20; i++) random();
  return random;
}
