import { Observable, type OperatorFunction } from 'rxjs';
import type { Clock } from './clock.js';
import type { Timed } from './events.js';
import { NEVER, type Micros } from './micros.js';
import { requireLater, type Outcome, type Stage } from './stage.js';

/**
 * Makes an RxJS operator of a stage: the one place where pure steps meet a clock.
 *
 * Before an event is passed in, every wake-up due at or before its time is. Between events the
 * clock's alarm wakes the stage, with the time it asked for. Wake-ups still open when the source
 * completes are dropped: a source ends with a reset, which ends everything that was held.
 *
 * An error of the stage is an error of the stream; `alongside` keeps one seat's from reaching it.
 */
export function through<State, Event extends Timed, Out>(
  stage: Stage<State, Event, Out>,
  clock: Clock,
): OperatorFunction<Event, Out> {
  return (source) =>
    new Observable<Out>((subscriber) => {
      let state = stage.begin();
      let wake: Micros = NEVER;
      let armed: Micros = NEVER;
      let disarm: () => void = () => undefined;

      function accept(outcome: Outcome<State, Out>, t: Micros): void {
        state = outcome.state;
        wake = requireLater(stage.name, outcome.wake, t);
        for (const next of outcome.out) subscriber.next(next);
      }

      function settle(until: Micros): void {
        while (wake <= until && wake !== NEVER) {
          const t = wake;
          accept(stage.step(state, { type: 'wake', t }), t);
        }
      }

      function arm(): void {
        if (wake === armed) return;
        disarm();
        armed = wake;
        // Windows, lifts and ends of notes: far less than a scan of 4 ms late, and a class has hundreds a second.
        disarm = wake === NEVER ? () => undefined : clock.alarm(wake, ring, 'thrifty');
      }

      function guarded(work: () => void): void {
        try {
          work();
          arm();
        } catch (error) {
          disarm();
          subscriber.error(error);
        }
      }

      function ring(): void {
        const due = armed;
        armed = NEVER;
        guarded(() => {
          settle(due);
        });
      }

      const subscription = source.subscribe({
        next: (event) => {
          guarded(() => {
            settle(event.t);
            accept(stage.step(state, event), event.t);
          });
        },
        error: (error: unknown) => {
          disarm();
          subscriber.error(error);
        },
        complete: () => {
          disarm();
          subscriber.complete();
        },
      });
      return () => {
        disarm();
        subscription.unsubscribe();
      };
    });
}
