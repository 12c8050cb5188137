import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { PagePlan } from '../host/messages.js';
import type { Answered } from './orders.js';
import type { Recorder } from './recorder.js';
import type { StateTeller } from './state-teller.js';

/** What recording needs of the rest. */
export interface RoomRecordingParts {
  readonly recorder: Recorder;
  readonly state: StateTeller;
  /** By seat, as they are now. */
  readonly plans: readonly PagePlan[];
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

  get needs(): readonly number[] {
    return this.#parts.recorder.needs;
  }

  record(events: readonly RoomTakeEvent[], lost: readonly number[]): void {
    this.#parts.recorder.record(events, lost);
  }

  /** @returns why not, in words; null where it has begun */
  begin(seat: number | null): string | null {
    const { recorder, state, plans, askForReadings } = this.#parts;
    const { playing, voices, scale, duck } = state.get('room');
    if (!playing) return 'The room has ended. Start it anew, then record.';
    const seats = state.get('seats');
    const plan = { mixes: seats.map(({ mix }) => mix), voices, scale, duck };
    const names = seats.map(({ name }) => name);
    const room = { names, plans: [...plans], plan };
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
