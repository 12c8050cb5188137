import type { PageTake } from '../../../link/state.js';

/** The take that a finished recording is, once it is listed; its link needs the take's own name. */
export function takeOf(file: string, takes: readonly PageTake[]): PageTake | null {
  const base = file.replace(/^.*[\\/]/, '');
  const whole = takes.find(({ name }) => name === base || name === file);
  if (whole) return whole;
  return takes.find(({ name }) => base.startsWith(`${name}.`)) ?? null;
}

/** A length of time for people. @example elapsed(83_400) // '1:23' */
export function elapsed(ms: number): string {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  const rest = String(seconds % 60).padStart(2, '0');
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${String(minutes)}:${rest}`;
  const hours = Math.floor(minutes / 60);
  return `${String(hours)}:${String(minutes % 60).padStart(2, '0')}:${rest}`;
}
