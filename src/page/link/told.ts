import type { Layout } from './frames.js';
import type { PadVerdict, PageState } from './state.js';

/**
 * What a page is told as text (JSON). A `hello` comes first, then each part of the state, then a part
 * again whenever it changes. Levels, history and voices come as binary frames (see `frames.ts`).
 */
export type Told =
  | {
      readonly told: 'hello';
      /** Read-only: what it asks for is refused, but for looking. */
      readonly guest: boolean;
      /** Of the program; a page that was loaded from another one loads itself again. */
      readonly version: string;
      /** For the built-in voices, so that they sound alike everywhere. */
      readonly seed: number;
    }
  | {
      [Part in keyof PageState]: { readonly told: Part; readonly now: PageState[Part] };
    }[keyof PageState]
  /** How levels frames are laid out from the next one on. */
  | ({ readonly told: 'layout' } & Layout)
  | {
      readonly told: 'verdicts';
      /** The slice of the seat that they are of. */
      readonly slice: number;
      readonly pads: readonly PadVerdict[];
    }
  /** The answer to what was asked under `id`; `refused` says why and what to do, in words. */
  | { readonly told: 'answer'; readonly id: number; readonly refused: string | null };
