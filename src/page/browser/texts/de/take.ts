import type { Texts } from '../en.js';

export const take: Texts['take'] = {};
