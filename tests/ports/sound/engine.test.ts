import { EventEmitter } from 'node:events';
import { describe, expect, it } from 'vitest';
import type { Notice } from '../../../src/ports/contracts.js';
import { builtinEngine } from '../../../src/ports/sound/engine.js';
import type { FromWorker, ToWorker, WorkerOptions } from '../../../src/ports/sound/messages.js';
import type { SoundThread } from '../../../src/ports/sound/thread.js';
import { on, SEATS } from '../../engine/builtin/helpers.js';

/** A thread that does what it is told, or is made to fail. */
class FakeThread extends EventEmitter<{
  message: [FromWorker];
  error: [unknown];
  exit: [];
}> {
  readonly got: ToWorker[] = [];
  free = false;
  postMessage(message: ToWorker): void {
    this.got.push(message);
    if (message.type === 'close') queueMicrotask(() => this.emit('exit'));
  }
  unref(): void {
    this.free = this.listenerCount('message') > 0;
  }
  terminate(): Promise<void> {
    return Promise.resolve();
  }
  fail(error: Error): void {
    this.emit('error', error);
    this.emit('exit');
  }
}

function setUp(): {
  engine: ReturnType<typeof builtinEngine>;
  threads: FakeThread[];
  told: Notice[];
} {
  const threads: FakeThread[] = [];
  const told: Notice[] = [];
  const engine = builtinEngine(
    { seats: SEATS, seed: 1, soundfont: null, tell: (notice) => told.push(notice) },
    () => {
      const thread = new FakeThread();
      threads.push(thread);
      return thread satisfies SoundThread;
    },
  );
  return { engine, threads, told };
}

describe('the built-in engine', () => {
  it('hands events to its thread with the time they were sent', () => {
    const { engine, threads } = setUp();
    engine.send(on());
    engine.send(on({ voice: 2 }));
    const [first, second] = threads[0]!.got;
    expect(first).toMatchObject({ type: 'event', event: { voice: 1 } });
    if (first?.type !== 'event' || second?.type !== 'event') throw new Error('no events came');
    expect(second.at).toBeGreaterThanOrEqual(first.at);
    expect(Number.isInteger(first.at)).toBe(true);
  });

  it('never keeps the program from ending', () => {
    // A worker is let go of only after its messages are listened to: listening holds it again.
    expect(setUp().threads[0]!.free).toBe(true);
  });

  it('passes on what the thread has to say', () => {
    const { threads, told } = setUp();
    const notice: Notice = { level: 'warn', what: 'No sound card' };
    threads[0]!.emit('message', { type: 'notice', notice });
    expect(told).toEqual([notice]);
  });

  it('keeps the latest word of how loud it is, also when it is closed', async () => {
    const { engine, threads } = setUp();
    expect(engine.loudness?.()).toBeNull();
    const loudness = { momentary: -20, shortTerm: -21, integrated: -22, truePeak: -3 };
    const first = { ...loudness, limiting: 0, mostLimiting: 2 };
    const second = { ...first, momentary: -30 };
    threads[0]!.emit('message', { type: 'loudness', loudness: first });
    threads[0]!.emit('message', { type: 'loudness', loudness: second });
    expect(engine.loudness?.()).toEqual(second);
    await engine.close();
    expect(engine.loudness?.()).toEqual(second);
  });

  it('has its thread keep to what a room says, or to what is sensible for a class', () => {
    const asked: unknown[] = [];
    const start = ({ ceiling }: WorkerOptions): FakeThread => {
      asked.push(ceiling);
      return new FakeThread();
    };
    const options = { seats: SEATS, seed: 1, soundfont: null, tell: () => undefined };
    builtinEngine(options, start);
    builtinEngine({ ...options, ceiling: { peak: -6, loudness: null } }, start);
    expect(asked).toEqual([
      { peak: -1, loudness: -16 },
      { peak: -6, loudness: null },
    ]);
  });

  it('is started again once after a failure, and says so; after another it stays silent', () => {
    const { engine, threads, told } = setUp();
    threads[0]!.fail(new Error('first'));
    expect(threads).toHaveLength(2);
    engine.send(on());
    expect(threads[1]!.got).toHaveLength(1);
    threads[1]!.fail(new Error('second'));
    expect(threads).toHaveLength(2);
    expect(told.map((notice) => notice.level)).toEqual(['warn', 'error']);
    expect(told[0]!.what).toMatch(/started again \(first\)/);
    expect(told[1]!.what).toMatch(/stays silent \(second\)/);
    expect(() => {
      engine.send(on());
    }).not.toThrow();
  });

  it('closes once, however often it is asked, and takes an end then for no failure', async () => {
    const { engine, threads, told } = setUp();
    await Promise.all([engine.close(), engine.close()]);
    await engine.close();
    engine.send(on());
    expect(threads[0]!.got).toEqual([{ type: 'close' }]);
    expect(told).toEqual([]);
  });

  it('closes also when its thread is gone', async () => {
    const { engine, threads } = setUp();
    threads[0]!.fail(new Error('a'));
    threads[1]!.fail(new Error('b'));
    await engine.close();
  });
});
