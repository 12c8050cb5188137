import { computed, effect, signal } from '@preact/signals';
import { keep, kept } from '../parts/kept.js';
import { de } from './de.js';
import { en, type Texts } from './en.js';

/** Every language, under its code, with its own name for itself. Another one is one file and one line here. */
export const LANGUAGES = {
  en: { name: 'English', texts: en },
  de: { name: 'Deutsch', texts: de },
} as const satisfies Record<string, { name: string; texts: Texts }>;

export type Language = keyof typeof LANGUAGES;

/**
 * The language to begin with: what was chosen on this device, else the first of the browser's that
 * there is, else English.
 *
 * @param wanted language tags, the most wanted first, such as `de-AT`
 */
export function firstLanguage(chosen: string | null, wanted: readonly string[]): Language {
  const codes = [chosen ?? '', ...wanted].map((tag) => tag.toLowerCase().split('-')[0] ?? '');
  return codes.find(isLanguage) ?? 'en';
}

function isLanguage(code: string): code is Language {
  return Object.hasOwn(LANGUAGES, code);
}

const browser = typeof navigator === 'undefined' ? [] : navigator.languages;
const current = signal<Language>(firstLanguage(kept('language'), browser));

/** The language that is shown. */
export const language = computed(() => current.value);

/** The texts in that language: a component that reads them here is drawn again when it changes. */
export const texts = computed<Texts>(() => LANGUAGES[current.value].texts);

export function chooseLanguage(code: Language): void {
  current.value = code;
  keep('language', code);
}

/** Keeps the document's own language true, for screen readers and hyphenation. */
export function followLanguage(): void {
  effect(() => {
    document.documentElement.lang = current.value;
  });
}
