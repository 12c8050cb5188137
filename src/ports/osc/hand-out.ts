import type { Seated } from '../../time/alongside.js';
import type { Clock } from '../../time/clock.js';
import { MILLISECOND, SECOND, type Micros } from '../../time/micros.js';
import { encodeHand, LAST_NUMBER, type HandPart } from '../../wire/osc-hand.js';
import { oscTimeTag } from '../../wire/osc-time.js';
import type { WireEvent } from '../../wire/scan.js';
import type { VoiceEvent } from '../../room/voice.js';
import type { Engine, Tell } from '../contracts.js';
import { nodeTimers, type Timers } from '../live-clock.js';
import { handNotes } from './hand-notes.js';
import type { HandKind } from './hand-stream.js';
import { oscSink } from './sink.js';

export interface HandOutOptions {
  readonly hand: HandKind;
  readonly host: string;
  readonly port: number;
  /** The seats' names by slot; null where nobody plays. */
  readonly names: readonly (string | null)[];
  /** The live clock that the events are stamped with, on `timers`. */
  readonly clock: Clock;
  readonly tell: Tell;
  readonly timers?: Timers;
  /** Names this run; left out: a random number. */
  readonly run?: number;
  /** Milliseconds since 1970. */
  readonly date?: () => number;
}

/** How often what holds is said again: a lost packet is fixed in that time. */
const AGAIN_MS = 50;
/** At first more often, so that the other side soon knows how far apart the clocks are. */
const AT_FIRST_MS = 20;
const AT_FIRST: Micros = SECOND;
/** A farewell is sent so often, since nothing comes after it that would fix its loss. */
const FAREWELLS = 3;
/** The date was set, or is known at last; the other side understands jumps, but steps would jitter. */
const SET: Micros = SECOND;

/**
 * Hands the room on to a pluckwork on another computer: raw pads as they are read, or notes as they are
 * played. Times are the tags of bundles; loss can be counted, and fixes itself (see `encodeHand`).
 */
export function handOut(options: HandOutOptions): Engine {
  const { hand, host, port, clock, tell, timers = nodeTimers } = options;
  const names = [...options.names];
  const { date = () => Date.now() } = options;
  let run = options.run ?? Math.floor(Math.random() * LAST_NUMBER);
  const sink = oscSink({ host, port, tell, timers });
  /** By name, since a seat that comes back counts on. */
  const numbers = new Map<string, number>();
  /** By slot, what each input read last. */
  const read: (number | undefined)[][] = names.map(() => []);
  const notes = handNotes();
  const begun = now();
  let offset = date() * MILLISECOND - begun;
  let cancel: () => void = () => undefined;

  function now(): Micros {
    return Math.floor(timers.now() * MILLISECOND);
  }

  function post(seat: number, t: Micros, parts: readonly HandPart[]): void {
    const name = names[seat];
    if (name === null || name === undefined) return;
    if (numbers.get(name) === LAST_NUMBER) begin();
    const number = numbers.get(name) ?? 0;
    numbers.set(name, number + 1);
    const at = oscTimeTag(Math.round(offset + t));
    sink.send(encodeHand({ seat: name, run, number, at, parts }));
  }

  /** Numbers begin again with another run. */
  function begin(): void {
    run = (run + 1) % LAST_NUMBER;
    numbers.clear();
  }

  function sayAgain(): void {
    const t = now();
    const fresh = date() * MILLISECOND - t;
    if (Math.abs(fresh - offset) > SET) offset = fresh;
    for (const seat of names.keys())
      post(seat, t, [hand === 'pads' ? nowOf(seat) : notes.all(seat)]);
    cancel = timers.after(t - begun < AT_FIRST ? AT_FIRST_MS : AGAIN_MS, sayAgain);
  }

  function nowOf(seat: number): HandPart {
    const inputs = [...(read[seat] ?? []).keys()].filter(
      (input) => read[seat]![input] !== undefined,
    );
    return { type: 'now', inputs, raws: inputs.map((input) => read[seat]![input]!) };
  }

  function reading({ seat, event }: Seated<WireEvent>): void {
    if (event.type === 'reset') {
      notes.reset(seat);
      // Another unit may come back.
      if (event.why === 'lost') read[seat] = [];
      post(seat, event.t, [{ type: 'reset', why: event.why }]);
    } else if (event.type === 'scan' && hand === 'pads') {
      const own = (read[seat] ??= []);
      event.inputs.forEach((input, i) => (own[input] = event.raws[i]));
      if (event.inputs.length > 0) post(seat, event.t, [event]);
    }
  }

  function farewell(seat: number, t: Micros): void {
    for (let i = 0; i < FAREWELLS; i++) post(seat, t, [{ type: 'reset', why: 'end' }]);
  }

  function send(event: VoiceEvent): void {
    if (event.type === 'joined') {
      for (let i = names.length; i < event.seat; i++) names[i] = null;
      names[event.seat] = event.sound.name;
    } else if (event.type === 'left') {
      farewell(event.seat, event.t);
      names[event.seat] = null;
      read[event.seat] = [];
      notes.reset(event.seat);
    }
    if (hand === 'pads') return;
    for (const { seat, t, parts } of notes.next(event)) post(seat, t, parts);
  }

  sayAgain();
  return {
    name: `${hand} to ${host}:${String(port)}`,
    reading,
    send,
    async close() {
      cancel();
      const t = clock.stamp();
      for (const seat of names.keys()) farewell(seat, t);
      await sink.close();
    },
  };
}
