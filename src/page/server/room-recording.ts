import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { Notice } from '../../ports/contracts.js';
import { plainRoom } from '../../room/plan.js';
import type { ThreadSeat } from '../host/messages.js';
import type { Answered } from './orders.js';
import type { RecordedRoom, RecordedSeat, Recorder } from './recorder.js';
import type { StateTeller } from './state-teller.js';

/** What recording needs of the rest. */
export interface RoomRecordingParts {
  readonly recorder: Recorder;
  readonly state: StateTeller;
  /** By id, as they are now. */
  readonly seats: ReadonlyMap<number, ThreadSeat>;
  readonly tell: (notice: Notice) => void;
  /** Other readings may be needed now; calls back once all that were asked for before have come. */
  askForReadings(answered?: () => void): void;
  /** A take more is there. */
  kept(): Promise<void>;
}

/** The recording that pages begin and end: it goes on when they go, and ends with the room. */
export class RoomRecording {
  readonly #parts: RoomRecordingParts;
  /** How many scans pages know of. */
  #told = -1;

  constructor(parts: RoomRecordingParts) {
    this.#parts = parts;
  }

  /** The ids of the seats whose readings are needed; null: all, and those that come later. */
  get needs(): readonly number[] | null {
    return this.#parts.recorder.needs;
  }

  record(events: readonly RoomTakeEvent[], lost: readonly number[]): void {
    this.#parts.recorder.record(events, lost);
  }

  /** @returns why not, in words; null where it has begun */
  begin(seat: number | null): string | null {
    const { recorder, state, askForReadings } = this.#parts;
    const { playing, voices, scale, duck } = state.get('room');
    if (!playing) return 'The room has ended. Start it again, then record.';
    const recorded = (one: ThreadSeat): RecordedSeat => {
      const told = state.get('seats').find(({ id }) => id === one.id);
      return { ...one, mix: told?.mix ?? plainRoom(1).mixes[0]! };
    };
    const all = this.#parts.seats;
    const room: RecordedRoom = {
      seats: [...all.values()].map(recorded),
      shared: { voices, scale, duck },
      at(slot) {
        const own = [...all.values()].find((one) => one.slot === slot);
        return own && recorded(own);
      },
    };
    const refused = recorder.begin(seat, room, Date.now(), () => void this.close());
    if (refused !== null) return refused;
    this.#tellNow();
    askForReadings();
    return null;
  }

  /** What is still on its way belongs to the take: the playing thread sends it before it answers. */
  end(answered: Answered): void {
    const { recorder, askForReadings, kept } = this.#parts;
    const refused = recorder.ending();
    if (refused !== null) {
      answered(refused);
      return;
    }
    askForReadings(() => {
      void recorder.end().then(async (fault) => {
        this.#tellNow();
        answered(fault);
        await kept();
      });
    });
  }

  /** A seat has left, and all that was read of it has come: a recording of it alone ends with it. */
  left(seat: number): void {
    const { recorder, seats } = this.#parts;
    const slot = seats.get(seat)?.slot;
    if (slot !== undefined) recorder.left(slot);
    this.#over(seat, 'the seat has left the room');
  }

  /** A seat has another instrument or board: a take of it alone is of the one that it began with. */
  refitted(seat: number): void {
    this.#over(seat, 'the seat has another instrument or board now');
  }

  #over(seat: number, why: string): void {
    const { recorder, tell, seats, kept } = this.#parts;
    const { now } = recorder;
    if (now?.seat !== seat) return;
    tell({
      level: 'warn',
      what: `The recording has ended, since ${why}; what was recorded is kept in ${now.file}`,
      where: `seat ${seats.get(seat)?.name ?? String(seat)}`,
    });
    void this.close().then(() => kept());
  }

  /** Tells pages how far it is. */
  tell(): void {
    if ((this.#parts.recorder.now?.scans ?? -1) !== this.#told) this.#tellNow();
  }

  /** Ends it at once. */
  async close(): Promise<void> {
    await this.#parts.recorder.end();
    this.#tellNow();
  }

  #tellNow(): void {
    const { now } = this.#parts.recorder;
    this.#told = now?.scans ?? -1;
    this.#parts.state.set('recording', now);
  }
}
