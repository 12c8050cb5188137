import type { MidiWire } from '../../instrument/types.js';
import type { WireCounts } from '../../wire/midi-codec.js';
import type { Scan } from '../../wire/scan.js';
import { touchWatch, type TouchWatch } from '../units/claim-touch.js';
import type { Notice } from '../contracts.js';
import type { LiveClock } from '../live-clock.js';
import { countNotices } from './counts.js';
import { listenTo } from './input.js';
import type { MidiPort } from './names.js';
import type { NativeInput } from './native.js';
import { openFar, type OpenMidi } from './open.js';
import { midiReader, type MidiReader } from './reader.js';
import type { SeatEntry } from './seat.js';
import type { MidiSystem } from './system.js';
import type { UnitId } from '../units/id.js';

/** A unit that is plugged in and listened to, whether it plays or waits for a seat. */
export interface Unit {
  /** Its port's name. */
  readonly name: string;
  readonly id: UnitId | null;
  /** Its seat's slot; undefined while it waits for one. */
  readonly seat: number | undefined;
  readonly counts: WireCounts | undefined;
  /** At each look: how many more messages were lost, and whether it is gone. */
  look(ports: readonly MidiPort[]): { readonly gone: boolean; readonly missed: number };
  /** What a person should know of a unit that waits: why its touches may not be seen. */
  troubles(): Notice[];
  /** From here on it plays at a seat; a touch that gave it the seat is waited out first. */
  sit(seat: number, as: MidiWire, entry: SeatEntry, touched: boolean): void;
  close(): void;
}

/**
 * Opens the port of a unit; undefined where that does not work.
 *
 * @param like the seat that it may be given: how it is read until then, and where its troubles are
 * @param touched is called once, when a pad is touched while it waits
 */
export function openUnit(
  system: MidiSystem,
  clock: LiveClock,
  port: MidiPort,
  like: { readonly as: MidiWire; readonly entry: SeatEntry },
  touched: () => void,
): Unit | undefined {
  const { as, entry } = like;
  const notices = countNotices(entry.where, as);
  let open: OpenMidi<NativeInput> | undefined;
  let seat: { slot: number; entry: SeatEntry } | undefined;
  /** Until it has its seat, and until the touch that gave it the seat is over. */
  let watch: TouchWatch | undefined = touchWatch(as);
  let reader: MidiReader = midiReader(as, clock, heard);

  function heard(scan: Scan): void {
    if (watch) {
      if (watch.see(scan) && !seat) touched();
      if (!seat || watch.held(scan.t)) return;
      watch = undefined;
    }
    seat?.entry.emit(scan);
  }

  function again(wire: MidiWire): void {
    reader.close();
    reader = midiReader(wire, clock, heard);
  }

  open = openFar(system, 'input', port, () =>
    listenTo(
      system,
      (bytes) => {
        // What the driver had still waiting when the port went would sound with nobody to end it.
        if (open) reader.take(bytes);
      },
      (program) => seat?.entry.programmed(program),
      (sensing) => seat?.entry.alive(sensing),
    ),
  );
  if (!open) return undefined;
  return {
    name: port.name,
    id: system.identity(port.address),
    get seat() {
      return seat?.slot;
    },
    get counts() {
      return reader.counts;
    },
    look(ports) {
      const { gone, missed } = open?.look(ports) ?? { gone: true, missed: 0 };
      if (missed > 0) again(reader.wire);
      return { gone, missed };
    },
    troubles: () => notices(reader.counts),
    sit(slot, wire, own, byTouch) {
      seat = { slot, entry: own };
      if (wire !== reader.wire) again(wire);
      else if (byTouch) return;
      watch = undefined;
    },
    close() {
      reader.close();
      open?.close();
      open = undefined;
    },
  };
}
