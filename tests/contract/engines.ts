import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SeatSound } from '../../src/engine/seat-sound.js';
import type { Timed } from '../../src/time/events.js';
import { NEVER } from '../../src/time/micros.js';
import type { AnyStage } from '../../src/time/stage.js';
import type { VoiceEvent, VoiceOn } from '../../src/room/voice.js';
import { anyChangingRoom, anyRoom } from './voice-events.js';
import { seatSound } from '../support/seat-sound.js';

/** One thing a receiver understood; `sound` tells sounds apart as far as the receiver can. */
export type Heard =
  { readonly kind: 'on' | 'off'; readonly sound: string } | { readonly kind: 'silence' };

/** What the suite needs to know of one kind of engine message. */
export interface EncoderUnderTest<Out extends Timed> {
  encoder(seats: readonly SeatSound[]): AnyStage<VoiceEvent, Out>;
  /** What an independent receiver understands of one output; throws where it is not legal. */
  receive(out: Out): readonly Heard[];
  /**
   * The name by which the receiver knows this voice's sound.
   *
   * @param state the encoder's, where seats have joined since it began
   */
  soundOf(on: VoiceOn, seats: readonly SeatSound[], state?: unknown): string;
}

/** What every encoder must keep to, whatever a room plays. (New sounds have tests of their own.) */
export function engineContract<Out extends Timed>(
  name: string,
  { encoder, receive, soundOf }: EncoderUnderTest<Out>,
): void {
  const everyRoom = (check: (seats: SeatSound[], events: VoiceEvent[]) => void): void => {
    fc.assert(
      fc.property(anyRoom(20, false), ({ seats, events }) => {
        check(seats, events);
      }),
      { numRuns: 300 },
    );
  };

  /** Follows what sounds at the receiver after each event; throws where a sound lacks its own off. */
  function follow(seats: readonly SeatSound[], events: readonly VoiceEvent[]) {
    const stage = encoder(seats);
    const sounding = new Set<string>();
    let state: unknown = stage.begin();
    return events.map((event) => {
      const outcome = stage.step(state, event);
      state = outcome.state;
      const heard = outcome.out.flatMap((out) => receive(out));
      for (const one of heard) {
        if (one.kind === 'silence') {
          if (sounding.size > 0) throw new Error(`left to silence: ${[...sounding].join(', ')}`);
        } else if (one.kind === 'on') {
          if (sounding.has(one.sound)) throw new Error(`${one.sound} began twice`);
          sounding.add(one.sound);
        } else if (!sounding.delete(one.sound)) throw new Error(`${one.sound} ended twice`);
      }
      // The state is the encoder's to change: what a voice is to sound by is asked now.
      const sound = event.type === 'on' ? soundOf(event, seats, state) : '';
      return { event, outcome, heard, sound, sounding: [...sounding].sort() };
    });
  }

  describe(`${name} keeps the contract of engines`, () => {
    it('lets sound exactly the voices that live', () => {
      everyRoom((seats, events) => {
        const living = new Map<number, string>();
        for (const { event, sounding } of follow(seats, events)) {
          if (event.type === 'on') living.set(event.voice, soundOf(event, seats));
          else if (event.type === 'off') living.delete(event.voice);
          else if (event.type === 'silence') living.clear();
          if (event.type === 'off' && event.slurred) continue; // its on decides, and comes next
          expect(sounding).toEqual([...new Set(living.values())].sort());
        }
      });
    });

    it('does so whoever joins and leaves, and lets nobody sound who has left', () => {
      fc.assert(
        fc.property(anyChangingRoom(), ({ seats, events }) => {
          const living = new Map<number, { seat: number; sound: string }>();
          const sounds = (): string[] =>
            [...new Set([...living.values()].map(({ sound }) => sound))].sort();
          for (const { event, heard, sound, sounding } of follow(seats, events)) {
            if (event.type === 'on') {
              living.set(event.voice, { seat: event.seat, sound });
              expect(heard).toContainEqual({ kind: 'on', sound });
            } else if (event.type === 'off') living.delete(event.voice);
            else if (event.type === 'silence') living.clear();
            else if (event.type === 'left') {
              expect([...living.values()].map(({ seat }) => seat)).not.toContain(event.seat);
            }
            if (event.type === 'off' && event.slurred) continue; // its on decides, and comes next
            expect(sounding).toEqual(sounds());
          }
        }),
        { numRuns: 300 },
      );
    });

    it('plucks every voice', () => {
      everyRoom((seats, events) => {
        for (const { event, heard } of follow(seats, events)) {
          const ons = heard.filter(({ kind }) => kind === 'on');
          if (event.type !== 'on') expect(ons).toEqual([]);
          else expect(ons).toEqual([{ kind: 'on', sound: soundOf(event, seats) }]);
        }
      });
    });

    it('ends each sound by its own off before silence, and is silent after it', () => {
      everyRoom((seats, events) => {
        const unended = events.filter(({ type }) => type !== 'off');
        for (const { event, heard, sounding } of follow(seats, unended)) {
          if (event.type !== 'silence') continue;
          expect(sounding).toEqual([]);
          const kinds = heard.map(({ kind }) => kind);
          expect(kinds).toContain('silence');
          expect(kinds.lastIndexOf('off')).toBeLessThan(kinds.indexOf('silence'));
        }
      });
    });

    it('is not disturbed by the off of a voice that silence has ended', () => {
      const at = { t: 5, voice: 1, seat: 0, note: 40, string: 0 };
      const on: VoiceOn = { ...at, type: 'on', velocity: 9, strength: 0.1, fret: 0, how: 'pluck' };
      const again: VoiceOn = { ...on, t: 8, voice: 2 };
      const seats = [seatSound({ name: 'north', sound: 34, level: 1, strings: 4 })];
      const steps = follow(seats, [
        on,
        { type: 'silence', t: 6 },
        { ...at, type: 'off', t: 7, slurred: false },
        again,
      ]);
      expect(steps[2]!.heard).toEqual([]);
      expect(steps[3]!.sounding).toEqual([soundOf(again, seats)]);
    });

    it('stamps what it puts out with the time of the event, and wakes in the future or never', () => {
      everyRoom((seats, events) => {
        for (const { event, outcome } of follow(seats, events)) {
          for (const out of outcome.out) expect(out.t).toBe(event.t);
          expect(outcome.wake === NEVER || outcome.wake > event.t).toBe(true);
        }
      });
    });

    it('puts out the same for the same events', () => {
      everyRoom((seats, events) => {
        const outs = () => follow(seats, events).map(({ outcome }) => outcome.out);
        expect(outs()).toEqual(outs());
      });
    });
  });
}
