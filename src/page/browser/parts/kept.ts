/** What a person chose on this device; null: nothing yet, or the browser keeps nothing. */
export function kept(name: string): string | null {
  try {
    return localStorage.getItem(`pluckwork-${name}`);
  } catch {
    return null;
  }
}

/** Keeps a choice on this device where the browser allows it; null forgets it. */
export function keep(name: string, value: string | null): void {
  try {
    if (value === null) localStorage.removeItem(`pluckwork-${name}`);
    else localStorage.setItem(`pluckwork-${name}`, value);
  } catch {
    // A browser that keeps nothing still shows the page.
  }
}
