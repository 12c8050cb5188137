import type { ComponentChildren } from 'preact';

interface HelpProps {
  readonly children: ComponentChildren;
  /** For `aria-describedby`. */
  readonly id?: string;
}

/** A sentence that says what something is for. */
export function Help({ children, id }: HelpProps) {
  return (
    <p class="help" id={id}>
      {children}
    </p>
  );
}

interface MoreProps {
  readonly summary: ComponentChildren;
  readonly children: ComponentChildren;
  readonly open?: boolean;
  readonly onToggle?: (open: boolean) => void;
}

/** What most people do not need at once; native, so that it opens without a mouse and is found by searching. */
export function More({ summary, children, open, onToggle }: MoreProps) {
  return (
    <details
      class="more"
      open={open ?? false}
      onToggle={(event) => {
        onToggle?.(event.currentTarget.open);
      }}
    >
      <summary>{summary}</summary>
      {children}
    </details>
  );
}
