import type { Texts } from './en.js';
import { drums } from './de/drums.js';
import { room } from './de/room.js';
import { seat } from './de/seat.js';
import { shell } from './de/shell.js';
import { sound } from './de/sound.js';
import { sounds } from './de/sounds.js';
import { take } from './de/take.js';

/** Alles, was auf der Seite zu lesen ist, auf Deutsch. */
export const de: Texts = { shell, room, seat, take, sound, sounds, drums };
