import type { SeatSound } from '../../../../src/engine/seat-sound.js';
import { seatAfter } from '../../../../src/page/browser/sound/seat-after.js';
import type { Sink } from '../../../../src/page/browser/sound/sink.js';
import type { PageSeat } from '../../../../src/page/link/state.js';
import type { VoiceEvent } from '../../../../src/room/voice.js';
import { madeUpSeat } from '../../../page/support/made-up-seat.js';
import { seatSound } from '../../../support/seat-sound.js';
import { connectionTo, type FakeConnection } from './fake-connection.js';

/** A device that keeps what it is given, on clocks that the test sets. */
export class FakeSink implements Sink {
  readonly sampleRate = 48_000;
  readonly got: { event: VoiceEvent; frame: number }[] = [];
  silences = 0;
  ms = 0;
  aheadMs = 0;
  /** By how much the context's clock is behind the page's. */
  contextBehind = 5_000;
  seats: (SeatSound | null)[] = [seatSound()];
  begun = 0;

  time(): number {
    return this.ms - this.contextBehind;
  }
  now(): number {
    return this.ms;
  }
  ahead(): number {
    return this.aheadMs;
  }
  outputDelay(): number {
    return 0;
  }
  begin(seats: readonly (SeatSound | null)[]): void {
    this.seats = [...seats];
    this.begun++;
  }
  send(events: readonly VoiceEvent[], frames: readonly number[]): void {
    for (const [i, event] of events.entries()) {
      seatAfter(this.seats, event);
      this.got.push({ event, frame: frames[i]! });
    }
  }
  /** Drops what waits, as the renderer does. */
  silence(): void {
    this.silences++;
    this.got.length = 0;
  }
  /** What is to sound, without the mixes. */
  get notes(): { event: VoiceEvent; frame: number }[] {
    return this.got.filter(({ event }) => event.type !== 'mix');
  }
}

export function pageSeat(name: string, level = 0.8, slot = 0, id = slot): PageSeat {
  const seat = madeUpSeat(name, 'bass-4x4');
  return { ...seat, id, slot, mix: { ...seat.mix, level } };
}

/** A connection whose other end is the test, to a room of one seat. */
export const fakeConnection = (): FakeConnection => connectionTo([pageSeat('north')], null);
