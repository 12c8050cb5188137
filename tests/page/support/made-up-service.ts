import type { Ask } from '../../../src/page/link/asks.js';
import { encodeLevels, levelsOf } from '../../../src/page/link/levels-frame.js';
import type { PageState } from '../../../src/page/link/state.js';
import type { Told } from '../../../src/page/link/told.js';
import { movingLevels } from './made-up-levels.js';
import { layoutOf } from './made-up-seat.js';
import { servePage, type ServedPage } from './serve-page.js';

export interface MadeUpService extends Pick<ServedPage, 'url' | 'asks' | 'cut' | 'close'> {
  /** Tells every page a part of the state again. */
  tell(told: Told): void;
}

interface Options {
  readonly state: PageState;
  readonly guest?: boolean;
  /** Frames of levels each second; 0: none, and what is pressed is shown as touched. */
  readonly rate?: number;
  /** Words that refuse a wish; null: it is done. */
  readonly refuse?: (ask: Ask) => string | null;
}

/** A whole room that is made up, in which what is asked for comes to be. */
export async function madeUpService(options: Options): Promise<MadeUpService> {
  const { guest = false, rate = 30, refuse = () => null } = options;
  let { state } = options;
  const served = await servePage({
    state: () => state,
    guest: () => guest,
    carryOut: (ask) => {
      const refused = refuse(ask);
      if (refused === null) apply(ask);
      return refused;
    },
  });
  const tell = (told: Told): void => {
    if (told.told in state) state = { ...state, [told.told]: (told as { now?: unknown }).now };
    served.tell(told);
    if (told.told === 'seats') follow();
  };
  /** Frames are of the seats that there are now. */
  const follow = (): void => {
    const now = layoutOf(state.seats, layout);
    const before = [...pressed.slices.keys()];
    if (now.slices.map(({ slice }) => slice).join() === before.join()) return;
    layout += 1;
    levels = movingLevels(state.seats, layout);
    pressed = levelsOf({ ...now, layout }, pressed);
    served.tell({ told: 'layout', ...now, layout });
  };
  const apply = (ask: Ask): void => {
    if (ask.ask === 'seat') {
      const { seat } = ask;
      const change = (one: PageState['seats'][number]) =>
        ({ ...one, mix: { ...one.mix, ...keysOf(ask, one.mix) } }) as typeof one;
      tell({ told: 'seats', now: state.seats.map((one) => (one.id === seat ? change(one) : one)) });
    } else if (ask.ask === 'room') {
      tell({ told: 'room', now: { ...state.room, ...keysOf(ask, state.room) } });
    } else if (ask.ask === 'press' || ask.ask === 'release') {
      const level = ask.ask === 'press' ? Math.round(200 * ask.strength) : 0;
      const { slice } = state.seats.find(({ id }) => id === ask.seat)!;
      const own = pressed.slices.get(slice)!;
      own.pads[ask.pad] = level;
      own.touched[ask.pad] = ask.ask === 'press' ? 1 : 0;
    }
  };
  let layout = 1;
  let levels = movingLevels(state.seats, layout);
  let pressed = levelsOf(layoutOf(state.seats, layout));
  const begun = performance.now();
  const timer = setInterval(
    () => {
      pressed.frame++;
      served.tell(encodeLevels(rate === 0 ? pressed : levels((performance.now() - begun) / 1000)));
    },
    1000 / (rate === 0 ? 30 : rate),
  );
  return {
    url: served.url,
    asks: served.asks,
    cut: served.cut,
    tell,
    close() {
      clearInterval(timer);
      return served.close();
    },
  };
}

/** What of a wish is a key of something. */
function keysOf<Whole extends object>(ask: Ask, whole: Whole): Partial<Whole> {
  return Object.fromEntries(Object.entries(ask).filter(([key]) => key in whole)) as Partial<Whole>;
}
