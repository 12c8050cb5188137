import type { ComponentChildren } from 'preact';

interface ButtonProps {
  readonly children: ComponentChildren;
  readonly onPress: () => void;
  /** `strong`: the step that is wanted most; `danger`: it takes something away. */
  readonly look?: 'plain' | 'strong' | 'danger';
  readonly disabled?: boolean;
  /** For screen readers, where the words on it need those around it to be understood. */
  readonly label?: string;
  /** Shown on pointing at it: one sentence. */
  readonly title?: string;
  /** The key that does the same from anywhere, as `aria-keyshortcuts` has it. */
  readonly keys?: string;
  readonly class?: string;
}

/** Does something once. */
export function Button({
  children,
  onPress,
  look = 'plain',
  disabled,
  label,
  ...rest
}: ButtonProps) {
  return (
    <button
      type="button"
      class={`button ${look} ${rest.class ?? ''}`}
      disabled={disabled ?? false}
      aria-label={label}
      aria-keyshortcuts={rest.keys}
      title={rest.title}
      onClick={onPress}
    >
      {children}
    </button>
  );
}
