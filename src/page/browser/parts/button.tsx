import type { ComponentChildren } from 'preact';

interface ButtonProps {
  readonly children: ComponentChildren;
  readonly onPress?: () => void;
  /** `strong`: the step that is wanted most; `danger`: it takes something away. */
  readonly look?: 'plain' | 'strong' | 'danger';
  readonly disabled?: boolean;
  /** It has nothing to do just now, and keeps the focus: what it waits for comes under a person's finger. */
  readonly off?: boolean;
  readonly submit?: boolean;
  /** For screen readers, where the words on it need those around it to be understood. */
  readonly label?: string;
  /** Shown on pointing at it: one sentence. */
  readonly title?: string;
  /** The key that does the same, as `aria-keyshortcuts` has it. */
  readonly keys?: string;
  readonly class?: string;
}

/** Does something once. */
export function Button({
  children,
  onPress,
  look = 'plain',
  disabled,
  off,
  submit,
  label,
  ...rest
}: ButtonProps) {
  return (
    <button
      type={submit ? 'submit' : 'button'}
      class={`button ${look} ${rest.class ?? ''}`}
      disabled={disabled ?? false}
      aria-disabled={off}
      aria-label={label}
      aria-keyshortcuts={rest.keys}
      title={rest.title}
      onClick={(event) => {
        if (off) event.preventDefault();
        else onPress?.();
      }}
    >
      {children}
    </button>
  );
}
