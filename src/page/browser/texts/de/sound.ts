import type { Texts } from '../en.js';

export const sound: Texts['sound'] = {};
