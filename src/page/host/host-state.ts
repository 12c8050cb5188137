import { namesOf } from '../../ports/files/find.js';
import type { RoomPlan } from '../../room/plan.js';
import type { PageLoudness } from '../link/state.js';
import type { HostEngines } from './engines.js';
import type { HostState } from './messages.js';
import type { Notices } from './notices.js';
import { ruleControls } from './rule-controls.js';
import type { Seating } from './seating.js';

export interface HostStateOptions {
  readonly roomName: string;
  readonly folder: string;
  readonly seats: Seating;
  readonly engines: HostEngines;
  readonly notices: Notices;
  readonly room: () => RoomPlan;
  /** Whether people have muted a slot, whatever is held. */
  readonly ownMute: (slot: number) => boolean;
}

/** What the playing room knows of the state. */
export interface StateParts {
  make<Part extends keyof HostState>(part: Part): HostState[Part];
  /** Looks which rules there are; resolves to whether that is news. */
  lookForRules(): Promise<boolean>;
  rulesAre(names: readonly string[]): void;
  ended(): void;
}

export function hostState(options: HostStateOptions): StateParts {
  const controls = ruleControls();
  let rulesNames: readonly string[] = [];
  let playing = true;

  const makers: { readonly [Part in keyof HostState]: () => HostState[Part] } = {
    room() {
      const { voices, scale, duck } = options.room();
      return { name: options.roomName, voices, scale, duck, rulesNames, controls, playing };
    },
    seats() {
      const { mixes } = options.room();
      return options.seats.all.map((seat) =>
        seat.state({ ...mixes[seat.slot]!, mute: options.ownMute(seat.slot) }),
      );
    },
    engines: () =>
      options.engines.all.map(({ id, engine, ceiling }) => {
        const { name, on } = engine;
        const loudness = engine.loudness?.() ?? null;
        return { id, name, on, loudness: loudness && finite(loudness), ceiling };
      }),
    notices: () => options.notices.latest,
  };

  return {
    make: (part) => makers[part](),
    async lookForRules() {
      const names = await namesOf('rules', options.folder);
      const news = names.join('\n') !== rulesNames.join('\n');
      rulesNames = names;
      return news;
    },
    rulesAre(names) {
      rulesNames = names;
    },
    ended() {
      playing = false;
    },
  };
}

function finite(loudness: { readonly [Value in keyof PageLoudness]: number }): PageLoudness {
  const values = Object.entries(loudness).map(([key, value]) => [
    key,
    Number.isFinite(value) ? value : null,
  ]);
  return Object.fromEntries(values) as unknown as PageLoudness;
}
