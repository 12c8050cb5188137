import type { SeatMemory } from '../link/memory.js';
import type { PageState } from '../link/state.js';
import type { SeatPlan } from '../../pipeline.js';
import type { Notice } from '../../ports/contracts.js';
import type { RoomTakeEvent } from '../../takes/room-line.js';
import type { Order } from './carry-out.js';

/** What it takes to judge, to guide and to record a seat: its plan, but for what stays in its thread. */
export type PagePlan = Omit<SeatPlan, 'logic' | 'gesture'>;

/** A seat as the page thread knows it. */
export interface ThreadSeat {
  /** Names it in orders and to pages; no other seat ever gets it. */
  readonly id: number;
  /** Its number in readings and voices, until it leaves. */
  readonly slot: number;
  readonly name: string;
  readonly memory: SeatMemory;
  readonly plan: PagePlan;
}

/** What the page thread is started with. */
export interface PageThreadData {
  /** The memory of the room's voices. */
  readonly voices: SharedArrayBuffer;
  readonly seats: readonly ThreadSeat[];
  /** What the playing thread knows of the state; the rest is the page thread's own. */
  readonly state: HostState;
  /** Where a person keeps their files. */
  readonly folder: string;
  /** Wanted port; where it is taken, any free one. 0: any free one. */
  readonly port: number;
  /** Open to the network, with keys; false: this computer only. */
  readonly network: boolean;
  /** Where takes are listed and recorded: paths. The first is recorded to. */
  readonly takeFolders: readonly string[];
  /** `performance.timeOrigin` of the playing thread: the room's clock counts from there. */
  readonly origin: number;
  readonly version: string;
  readonly seed: number;
}

/** The parts of the state that the playing thread tells. */
export const HOST_PARTS = ['room', 'seats', 'engines', 'notices'] as const;
export type HostState = Pick<PageState, (typeof HOST_PARTS)[number]>;

/** From the playing thread to the page thread. */
export type ToPageThread =
  | {
      [Part in keyof HostState]: {
        readonly type: 'state';
        readonly part: Part;
        readonly now: HostState[Part];
      };
    }[keyof HostState]
  /** A seat has come, or plays by other files, or with an instrument that has other pads. */
  | { readonly type: 'seat'; readonly seat: ThreadSeat }
  /** Only the seats with these ids are in the room now: the others have left. */
  | { readonly type: 'present'; readonly seats: readonly number[] }
  /**
   * All that came in of the seats that were asked for (swaps and `lost` resets too), and the changes of
   * the room, since the last batch, in the order in which it was played. Its seats are slots: who has
   * them was said before, by `seat` and `present`.
   */
  | {
      readonly type: 'readings';
      readonly events: readonly RoomTakeEvent[];
      /** The slots of which something is missing before these. */
      readonly lost: readonly number[];
    }
  /** The answer to an order. */
  | { readonly type: 'answer'; readonly id: number; readonly refused: string | null }
  | { readonly type: 'close' };

/** From the page thread to the playing thread. */
export type FromPageThread =
  | { readonly type: 'order'; readonly id: number; readonly order: Order }
  | { readonly type: 'notice'; readonly notice: Notice }
  /** Every second, from the first on: a thread that has fallen silent is sent nothing, then ended. */
  | { readonly type: 'alive' }
  /** Where the page is served. */
  | { readonly type: 'serving'; readonly links: readonly PageLink[] };

/** A link that opens the page. */
export interface PageLink {
  readonly url: string;
  readonly guest: boolean;
}
