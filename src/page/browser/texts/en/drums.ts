import { drumName } from '../../../../instrument/drum-names.js';

/** What a General MIDI percussion key is called. */
export const drums: (key: number) => string = drumName;
