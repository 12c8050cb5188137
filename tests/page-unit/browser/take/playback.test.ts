import { signal } from '@preact/signals';
import { expect, test } from 'vitest';
import type { Speaker, SpeakerState } from '../../../../src/page/browser/sound/contract.js';
import type { Result } from '../../../../src/page/browser/take/desk/messages.js';
import { playbackOn } from '../../../../src/page/browser/take/playback.js';
import { seatSound } from '../../../support/seat-sound.js';
import { settled } from '../hands.js';
import { fakeConnection } from '../sound/hands.js';

const RESULT = { sound: seatSound(), a: { events: [] }, b: { events: [] } } as unknown as Result;
const PART = { from: 0, to: 1_000_000 };

/** Speakers that open, and that the browser lets sound, when the test lets them; and what is done to each. */
function made(state: SpeakerState = 'on') {
  const opening: (() => void)[] = [];
  const did: string[][] = [];
  const open = (): Promise<Speaker> =>
    new Promise((resolve) => {
      const own: string[] = [];
      did.push(own);
      const speaker = {
        state: signal(state),
        setLevel: (level: number) => own.push(`level ${String(level)}`),
        resume: () => new Promise<void>((go) => opening.push(go)),
        play: () => own.push('play'),
        stop: () => own.push('stop'),
        close: () => {
          own.push('close');
          return Promise.resolve();
        },
      };
      opening.push(() => resolve(speaker as unknown as Speaker));
    });
  const playback = playbackOn(fakeConnection().connection, open);
  const opened = async (): Promise<void> => {
    for (const one of opening.splice(0)) one();
    await settled();
  };
  return { playback, did, opened };
}

test('a speaker is kept for one side after the other', async () => {
  const { playback, did, opened } = made();
  void playback.play(RESULT, 'a', PART);
  await opened();
  void playback.play(RESULT, 'b', PART);
  await settled();
  expect(did).toEqual([['level 0.5', 'play', 'level 0.5', 'play']]);
  playback.end();
  expect(did[0]!.at(-1)).toBe('close');
});

test('one that opens after another button was pressed is closed again', async () => {
  const { playback, did, opened } = made();
  void playback.play(RESULT, 'a', PART);
  void playback.play(RESULT, 'b', PART);
  await opened();
  expect(did).toEqual([['close'], ['level 0.5', 'play']]);
});

test.each(['stop', 'end'] as const)('one that opens after %s is closed again', async (how) => {
  const { playback, did, opened } = made();
  void playback.play(RESULT, 'a', PART);
  playback[how]();
  await opened();
  expect(did).toEqual([['close']]);
});

test('one that the browser held back until after stop does not play', async () => {
  const { playback, did, opened } = made('held');
  void playback.play(RESULT, 'a', PART);
  await opened();
  playback.stop();
  await opened();
  expect(did).toEqual([['level 0.5', 'stop']]);
});
