import type { ComponentChildren } from 'preact';

interface StepButtonProps {
  readonly children: ComponentChildren;
  readonly onPress: () => void;
  readonly off?: boolean;
  readonly look?: 'plain' | 'strong' | 'danger';
  /** The key that does the same here. */
  readonly shortcut?: string;
}

/** A button that keeps the focus while it has nothing to do: the steps go on under a person's finger. */
export function StepButton({ children, onPress, off, look = 'plain', shortcut }: StepButtonProps) {
  return (
    <button
      type="button"
      class={`button ${look}`}
      aria-disabled={off ?? false}
      aria-keyshortcuts={shortcut}
      onClick={() => {
        if (!off) onPress();
      }}
    >
      {children}
    </button>
  );
}
