import { batch, computed, effect, signal } from '@preact/signals';
import type { ReadonlySignal, Signal } from '@preact/signals';
import { numberDifferences, type Numbered, type Window } from '../../../compare/run.js';
import type { Connection } from '../connection.js';
import { byOf, likelyB, PLAYED, type Choice } from './choosing.js';
import type { DeskLine } from './desk-line.js';
import { faultOf } from './desk/faults.js';
import type { DeviceFile, Fault, Note, Opened, Progress, Result } from './desk/messages.js';

/** What is being done, and how far it has come. */
export type Busy = Progress | null;

/** A file of wanted notes that is judged by. */
export interface Wanted {
  readonly name: string;
  readonly count: number;
  readonly notes: readonly Note[];
}

/** One take, and what two rule sets make of it. */
export interface TakeModel {
  readonly opened: ReadonlySignal<Opened | null>;
  readonly openFault: ReadonlySignal<Fault | null>;
  readonly seat: ReadonlySignal<number>;
  readonly a: ReadonlySignal<Choice>;
  readonly b: ReadonlySignal<Choice>;
  readonly wanted: ReadonlySignal<Wanted | null>;
  readonly wantedFault: ReadonlySignal<Fault | null>;
  readonly busy: ReadonlySignal<Busy>;
  readonly result: ReadonlySignal<Result | null>;
  readonly fault: ReadonlySignal<Fault | null>;
  readonly numbered: ReadonlySignal<readonly Numbered[]>;
  /** What is shown of it. */
  readonly span: Signal<Window>;
  /** Opens a file of this device, or a take by the name under which the service has it. */
  open(given: File | string): Promise<void>;
  choose(chosen: { seat?: number; a?: Choice; b?: Choice }): void;
  judgeBy(file: File | null): Promise<void>;
}

/** @param desk the thread that runs takes */
export function takeModel({ state }: Connection, desk: DeskLine): TakeModel & { end(): void } {
  const opened = signal<Opened | null>(null);
  const openFault = signal<Fault | null>(null);
  const [seat, a, b] = [signal(0), signal<Choice>(PLAYED), signal<Choice>(PLAYED)];
  const wanted = signal<Wanted | null>(null);
  const wantedFault = signal<Fault | null>(null);
  const busy = signal<Busy>(null);
  const result = signal<Result | null>(null);
  const fault = signal<Fault | null>(null);
  const span = signal<Window>({ from: 0, to: 1 });
  const numbered = computed(() => numberDifferences(result.value?.notes ?? []));
  let latest = 0;
  let judging = 0;
  let shown: string | null = null;
  /** What else B may be, as long as nobody has chosen it. */
  let likely: Choice[] = [];

  const seatsNow = (): NonNullable<typeof state.seats.value> => state.seats.peek() ?? [];
  const tell =
    (own: number) =>
    (progress: Progress): void => {
      if (own === latest) busy.value = progress;
    };

  async function compare(): Promise<void> {
    const own = ++latest;
    const [byA, byB] = [byOf(a.peek(), seatsNow()), byOf(b.peek(), seatsNow())];
    if (!byA || !byB) {
      // What was being compared is not wanted any more.
      busy.value = null;
      return;
    }
    batch(() => {
      busy.value = { step: 'a', share: null };
      fault.value = null;
    });
    try {
      const found = await desk.ask('compare', { seat: seat.peek(), a: byA, b: byB }, tell(own));
      if (own !== latest) return;
      batch(() => {
        result.value = found;
        busy.value = null;
        // Other rules are looked at where one was looking; another take, or seat, from its own place on.
        const which = `${opened.peek()?.name ?? ''} ${String(seat.peek())}`;
        if (which !== shown) span.value = found.window;
        shown = which;
      });
    } catch (error) {
      if (own !== latest) return;
      const why = faultOf(error);
      const next = why.kind === 'own-logic' && a.peek() === PLAYED ? likely.shift() : undefined;
      if (next !== undefined) {
        b.value = next;
        return;
      }
      batch(() => {
        result.value = null;
        fault.value = why;
        busy.value = null;
      });
    }
  }

  /** What is tried at a seat changes while one looks. */
  const chosenNow = computed(() =>
    JSON.stringify([
      seat.value,
      ...[a.value, b.value].map((one) => byOf(one, state.seats.value ?? [])),
    ]),
  );
  let ran = '';
  const stop = effect(() => {
    const now = chosenNow.value;
    if (!opened.value || now === ran) return;
    ran = now;
    void compare();
  });

  return {
    opened,
    openFault,
    seat,
    a,
    b,
    wanted,
    wantedFault,
    busy,
    result,
    fault,
    numbered,
    span,
    async open(given) {
      const own = ++latest;
      batch(() => {
        for (const one of [opened, openFault, result, fault]) one.value = null;
        busy.value = { step: 'fetch', share: null };
      });
      shown = null;
      try {
        const source =
          typeof given === 'string' ? { listed: given } : { device: await contentOf(given) };
        const found = await desk.ask('open', { source }, tell(own));
        if (own !== latest) return;
        batch(() => {
          const first = Math.max(
            0,
            found.seats.findIndex(({ name }) => seatsNow().some((one) => one.name === name)),
          );
          seat.value = first;
          a.value = PLAYED;
          const names = state.room.peek()?.rulesNames ?? [];
          [b.value, ...likely] = likelyB(found, first, seatsNow(), names);
          ran = '';
          opened.value = found;
        });
      } catch (error) {
        if (own !== latest) return;
        batch(() => {
          openFault.value = faultOf(error);
          busy.value = null;
        });
      }
    },
    choose(chosen) {
      likely = [];
      batch(() => {
        if (chosen.seat !== undefined) seat.value = chosen.seat;
        if (chosen.a !== undefined) a.value = chosen.a;
        if (chosen.b !== undefined) b.value = chosen.b;
      });
    },
    async judgeBy(file) {
      const own = ++judging;
      try {
        const given = file && (await contentOf(file));
        // The last choice counts, however long each file takes to be read.
        if (own !== judging) return;
        const { count, notes } = await desk.ask('wanted', { file: given });
        if (own !== judging) return;
        batch(() => {
          wantedFault.value = null;
          wanted.value = given && { name: given.name, count, notes };
        });
      } catch (error) {
        if (own !== judging) return;
        batch(() => {
          wantedFault.value = faultOf(error);
          wanted.value = null;
        });
      }
      if (opened.peek()) await compare();
    },
    end() {
      stop();
      latest += 1;
      desk.end();
    },
  };
}

/** @throws DOMException where it has been moved or changed since it was chosen */
async function contentOf(file: File): Promise<DeviceFile> {
  return { name: file.name, bytes: await file.arrayBuffer() };
}
