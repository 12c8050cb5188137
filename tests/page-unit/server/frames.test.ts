import { expect, it } from 'vitest';
import { FRAME } from '../../../src/page/link/frames.js';
import { decodeHistory, type HistoryFrame } from '../../../src/page/link/history-frame.js';
import { decodeLevels, levelsOf } from '../../../src/page/link/levels-frame.js';
import { readVoice, VOICE_BYTES } from '../../../src/page/link/voice-record.js';
import { decodeVoices } from '../../../src/page/link/voices-frame.js';
import type { VoiceOn } from '../../../src/room/voice.js';
import { FakePage, startHost } from './fake-host.js';

const on = (voice: number): VoiceOn => ({
  type: 'on',
  t: 1_000 * voice,
  voice,
  seat: 1,
  note: 33,
  velocity: 96,
  strength: 0.5,
  string: 2,
  fret: 0,
  how: 'pluck',
});

/** A page's frames of one kind. */
function framesOf(page: FakePage, kind: number): Uint8Array[] {
  return page.frames.filter(([first]) => first === kind);
}

/** The voices that a page was sent so far. */
function voicesOf(page: FakePage): { voices: number[]; lost: boolean[] } {
  const frames = framesOf(page, FRAME.voices).map((bytes) => decodeVoices(bytes, VOICE_BYTES)!);
  const voices = frames.flatMap(({ count, records }) => {
    const view = new DataView(records.buffer, records.byteOffset, records.byteLength);
    return Array.from({ length: count }, (_, i) => readVoice(view, i * VOICE_BYTES)).map((event) =>
      event.type === 'on' ? event.voice : -1,
    );
  });
  return { voices, lost: frames.map(({ lost }) => lost) };
}

it('levels go to every page, with what was there between two frames', async () => {
  const { port, writers } = await startHost();
  const writer = writers[1]!;
  const page = new FakePage(port);
  await page.greeted();
  const from = page.frames.length;
  const levels = new Float32Array(20);
  levels[4] = 1;
  levels[5] = 9;
  levels[6] = -1;
  writer.row(5_000, levels);
  writer.row(6_000, new Float32Array(20));
  writer.onset(7);
  writer.lift(7);
  writer.begins(on(1));
  const into = levelsOf(await page.until(() => page.last('layout')));
  let seen = -1;
  await page.until(() => {
    for (const bytes of page.frames.slice(Math.max(from, seen + 1))) {
      seen = page.frames.indexOf(bytes);
      expect(decodeLevels(bytes, into)).toBe(true);
      if (into.slices.get(101)!.begun > 0) return true;
    }
    return false;
  });
  const [north, south] = into.slices.values();
  expect([...south!.pads.subarray(3, 8)]).toEqual([0, 200, 255, 0, 0]);
  expect([...south!.touched].flatMap((one, pad) => (one === 1 ? [pad] : []))).toEqual([7]);
  expect([...south!.notes]).toEqual([255, 255, 33, 255]);
  expect([south!.strengths[2], south!.begun]).toEqual([128, 1]);
  expect([...north!.pads, ...north!.touched].every((one) => one === 0)).toBe(true);
  expect(north!.begun).toBe(0);
  // The time is the room's: this process began it.
  expect(Math.abs(into.t / 1_000 - performance.now())).toBeLessThan(5_000);
});

it('every reading of a seat goes to the pages that watch it, and to no other', async () => {
  const { port, writers } = await startHost();
  const writer = writers[1]!;
  const [page, other] = [new FakePage(port), new FakePage(port)];
  await page.ask({ ask: 'watch', seat: 1 });
  await other.ask({ ask: 'watch', seat: 0 });
  writer.parts.on.fill(0.5);
  writer.parts.off.fill(0.25);
  // The reader begins with the next frame.
  const frames = page.frames.length;
  await page.until(() => page.frames.length > frames + 1);
  const level = new Float32Array(20);
  for (let row = 0; row < 100; row++) {
    level[3] = row / 100;
    writer.row(1_000 * row, level);
  }
  const got: HistoryFrame[] = [];
  await page.until(() => {
    got.length = 0;
    for (const bytes of framesOf(page, FRAME.history)) got.push(decodeHistory(bytes, () => 20)!);
    return got.reduce((sum, { times }) => sum + times.length, 0) === 100;
  });
  expect(got.flatMap(({ times }) => [...times])).toEqual(
    Array.from({ length: 100 }, (_, row) => 1_000 * row),
  );
  expect(got.every(({ slice, lost }) => slice === 101 && lost === 0)).toBe(true);
  expect([got[0]!.on[0], got[0]!.off[19]]).toEqual([0.5, 0.25]);
  const shares = got.flatMap(({ times, levels }) => [...times].map((_, i) => levels[20 * i + 3]));
  expect(shares).toEqual(Array.from({ length: 100 }, (_, row) => Math.fround(row / 100)));
  expect(framesOf(other, FRAME.history)).toEqual([]);
  await page.ask({ ask: 'watch', seat: null });
  const before = framesOf(page, FRAME.history).length;
  writer.row(200_000, level);
  const now = page.frames.length;
  await page.until(() => page.frames.length > now + 3);
  expect(framesOf(page, FRAME.history)).toHaveLength(before);
});

it('voices go to the pages that sound them, in their order', async () => {
  const { port, sounding: writer } = await startHost();
  const [page, other] = [new FakePage(port), new FakePage(port)];
  await other.greeted();
  await page.ask({ ask: 'voices', on: true });
  for (let turn = 0; turn < 5; turn++) await page.ask({ ask: 'silence' });
  await page.until(() => {
    // Until the reader is there, what comes is not for it.
    if (voicesOf(page).voices.length === 0) writer.voice(on(1));
    return voicesOf(page).voices.length > 0;
  });
  for (const voice of [2, 3, 4]) writer.voice(on(voice));
  await page.until(() => voicesOf(page).voices.at(-1) === 4);
  const { voices, lost } = voicesOf(page);
  expect(voices.filter((voice) => voice > 1)).toEqual([2, 3, 4]);
  expect(lost.every((one) => !one)).toBe(true);
  expect(framesOf(other, FRAME.voices)).toEqual([]);
  await page.ask({ ask: 'voices', on: false });
  writer.voice(on(5));
  const now = page.frames.length;
  await page.until(() => page.frames.length > now + 3);
  expect(voicesOf(page).voices).not.toContain(5);
});

it('a page that was behind is told that voices and rows are missing, and gets no old frames', async () => {
  const { port, sounding, writers } = await startHost({ limits: { pingMs: 10, lateMs: 500 } });
  const [page, other] = [new FakePage(port), new FakePage(port)];
  for (const one of [page, other]) {
    await one.ask({ ask: 'watch', seat: 0 });
    await one.ask({ ask: 'voices', on: true });
  }
  const rest = new Float32Array(20);
  let voice = 0;
  const step = async (): Promise<void> => {
    voice += 1;
    sounding.voice(on(voice));
    writers[0]!.row(1_000 * voice, rest);
    const now = other.frames.length;
    await other.until(() => other.frames.length > now + 2);
  };
  await step();
  page.socket.pause();
  const frames = page.frames.length;
  for (let i = 0; i < 60; i++) await step();
  page.socket.resume();
  await page.until(() => voicesOf(page).lost.includes(true));
  const sent = other.frames.length;
  expect(page.frames.length - frames).toBeLessThan(sent - frames);
  await step();
  const rowsOf = (one: FakePage): HistoryFrame[] =>
    framesOf(one, FRAME.history).map((bytes) => decodeHistory(bytes, () => 20)!);
  for (const one of [page, other]) {
    await one.until(() => voicesOf(one).voices.includes(voice));
    await one.until(() => rowsOf(one).at(-1)?.times.at(-1) === 1_000 * voice);
  }
  const counted = (one: FakePage) => ({
    lost: rowsOf(one).reduce((sum, { lost }) => sum + lost, 0),
    got: rowsOf(one).reduce((sum, { times }) => sum + times.length, 0),
  });
  const { lost, got } = counted(page);
  expect(lost).toBeGreaterThan(0);
  // What was lost and what came is all there was since it began to watch.
  expect({ lost: 0, got: lost + got }).toEqual(counted(other));
  expect(voicesOf(other).lost.every((one) => !one)).toBe(true);
});
