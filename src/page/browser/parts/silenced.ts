import { signal } from '@preact/signals';

/** Counts up whenever somebody at this page silences the room: what is held on it is let go of then. */
export const silenced = signal(0);
