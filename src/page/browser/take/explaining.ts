import { batch, signal, type ReadonlySignal } from '@preact/signals';
import type { Connection } from '../connection.js';
import type { Micros } from '../../../time/micros.js';
import { byOf } from './choosing.js';
import type { DeskLine } from './desk-line.js';
import { faultOf } from './desk/faults.js';
import type { Explained, Fault } from './desk/messages.js';
import type { TakeModel } from './model.js';

/** A time, a pad and a side: what is to be explained. */
export interface Question {
  readonly at: Micros;
  /** null: all pads. */
  readonly pad: number | null;
  readonly side: 'a' | 'b';
}

/** What was asked last, and its answer once it is there. */
export interface Explaining {
  readonly question: ReadonlySignal<Question | null>;
  readonly answer: ReadonlySignal<Explained | null>;
  readonly fault: ReadonlySignal<Fault | null>;
  readonly busy: ReadonlySignal<boolean>;
  ask(question: Question): Promise<Explained | null>;
  close(): void;
}

export function explainingOf({ state }: Connection, model: TakeModel, desk: DeskLine): Explaining {
  const question = signal<Question | null>(null);
  const answer = signal<Explained | null>(null);
  const fault = signal<Fault | null>(null);
  const busy = signal(false);
  let latest = 0;
  return {
    question,
    answer,
    fault,
    busy,
    async ask(asked) {
      const by = byOf(model[asked.side].peek(), state.seats.peek() ?? []);
      if (!by) return null;
      const own = ++latest;
      batch(() => {
        question.value = asked;
        fault.value = null;
        busy.value = true;
      });
      const { at, pad } = asked;
      try {
        const found = await desk.ask('explain', { seat: model.seat.peek(), by, at, pad });
        if (own !== latest) return null;
        batch(() => {
          answer.value = found;
          busy.value = false;
        });
        return found;
      } catch (error) {
        if (own !== latest) return null;
        batch(() => {
          answer.value = null;
          fault.value = faultOf(error);
          busy.value = false;
        });
        return null;
      }
    },
    close() {
      latest += 1;
      batch(() => {
        question.value = null;
        answer.value = null;
        fault.value = null;
        busy.value = false;
      });
    },
  };
}
