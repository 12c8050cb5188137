import type { ComponentChildren } from 'preact';

interface ToggleProps {
  readonly children: ComponentChildren;
  readonly on: boolean;
  readonly onToggle: (on: boolean) => void;
  readonly disabled?: boolean;
  /** For screen readers, where the words on it need those around it to be understood. */
  readonly label?: string;
  /** Shown on pointing at it: one sentence. */
  readonly title?: string;
}

/** Is on or off; the mark in it shows which, and `aria-pressed` says so. */
export function Toggle({ children, on, onToggle, disabled, label, title }: ToggleProps) {
  return (
    <button
      type="button"
      class="button toggle"
      aria-pressed={on}
      aria-label={label}
      title={title}
      disabled={disabled ?? false}
      onClick={() => {
        onToggle(!on);
      }}
    >
      {children}
    </button>
  );
}
