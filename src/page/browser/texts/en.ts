import { drums } from './en/drums.js';
import { room } from './en/room.js';
import { seat } from './en/seat.js';
import { shell } from './en/shell.js';
import { sound } from './en/sound.js';
import { sounds } from './en/sounds.js';
import { take } from './en/take.js';

/** All that people read on the page, in English: the language that every other one is a copy of. */
export const en = { shell, room, seat, take, sound, sounds, drums };

/** What a language must have. */
export type Texts = typeof en;
