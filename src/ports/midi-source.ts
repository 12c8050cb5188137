import { Subject } from 'rxjs';
import type { Source, Tell } from './contracts.js';
import type { LiveClock } from './live-clock.js';
import { countNotices } from './midi-counts.js';
import { midiLink, type MidiTarget } from './midi-link.js';
import type { NativeInput } from './midi-native.js';
import { midiSystem, type MidiSystem } from './midi-system.js';
import type { MidiWire } from '../instrument/types.js';
import type { Seated } from '../time/alongside.js';
import type { Reason } from '../time/events.js';
import { NEVER, type Micros } from '../time/micros.js';
import type { AnyMidiWireCodec, Decoded } from '../wire/midi-codec.js';
import { midiWire } from '../wire/midi-wires.js';
import type { WireEvent } from '../wire/scan.js';

/** A seat whose raw pad states come over MIDI. */
export interface MidiSeat {
  /** Counted from 0 in the order of the room file. */
  readonly seat: number;
  readonly seatName: string;
  /** A port by part of its name, or a port of our own for others to join. */
  readonly from: { readonly midi: string } | { readonly virtual: string };
  readonly as: MidiWire;
}

export interface MidiSourceOptions {
  readonly seats: readonly MidiSeat[];
  readonly clock: LiveClock;
  readonly tell: Tell;
  readonly system?: MidiSystem;
}

const NO_BYTES = new Uint8Array(0);

/**
 * Raw pad states from MIDI ports, one port a seat.
 *
 * A port that is not there yet, or goes away, is looked for once a second. When it goes, its seat
 * gets a `lost` reset within two seconds. It never throws; without a MIDI system it says so once
 * and waits.
 */
export function midiSource({
  seats,
  clock,
  tell,
  system = midiSystem(),
}: MidiSourceOptions): Source {
  const events = new Subject<Seated<WireEvent>>();
  const closers = seats.map((seat) => openSeat(seat, clock, tell, system, events));
  return {
    events: events.asObservable(),
    close() {
      for (const close of closers.splice(0)) close();
      events.complete();
      return Promise.resolve();
    },
  };
}

function openSeat(
  { seat, seatName, from, as }: MidiSeat,
  clock: LiveClock,
  tell: Tell,
  system: MidiSystem,
  events: Subject<Seated<WireEvent>>,
): () => void {
  const where = `seat ${seatName}`;
  const target: MidiTarget = 'midi' in from ? { port: from.midi } : from;
  const codec: AnyMidiWireCodec = midiWire(as);
  let state: unknown = codec.begin();
  let counts: Decoded<unknown>['counts'] | undefined;
  let notices = countNotices(where, as);
  let wake: Micros = NEVER;
  let disarm: () => void = () => undefined;

  function emit(event: WireEvent): void {
    events.next({ type: 'seated', t: event.t, seat, event });
  }

  function take(t: Micros, bytes: Uint8Array): void {
    const decoded = codec.decode(state, t, bytes) as Decoded<unknown>;
    state = decoded.state;
    counts = decoded.counts;
    for (const scan of decoded.scans) emit({ ...scan, t: clock.stamp(scan.t) });
    if (decoded.wake === wake) return;
    disarm();
    wake = decoded.wake;
    disarm = clock.alarm(wake, () => {
      wake = NEVER;
      take(clock.now(), NO_BYTES);
    });
  }

  function reset(why: Reason): void {
    disarm();
    wake = NEVER;
    state = codec.begin();
    counts = undefined;
    notices = countNotices(where, as);
    emit({ type: 'reset', t: clock.stamp(), why });
  }

  const link = midiLink<NativeInput>({
    system,
    direction: 'input',
    target,
    where,
    tell,
    create() {
      const input = system.native.input();
      input.ignoreTypes(false, true, true);
      input.on('messageBuffer', (_seconds, bytes) => {
        // What the driver had still waiting when the port went would sound with nobody to end it.
        if (link.port === input) take(clock.now(), bytes);
      });
      return input;
    },
    joined: () => undefined,
    lost: () => {
      reset('lost');
    },
    missed: (count) => {
      reset('overflow');
      tell({
        level: 'warn',
        what: `${String(count)} MIDI messages came faster than this computer could read them`,
        where,
        next: 'What was held has been ended. Let the board send less often, and close other programs',
      });
    },
    look: () => {
      for (const notice of notices(counts)) tell(notice);
    },
  });

  return () => {
    link.close();
    reset('end');
  };
}
