import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { texts } from '../texts/texts.js';
import { Button } from './button.js';

interface DialogProps {
  readonly title: string;
  readonly open: boolean;
  /** It was closed by its key, its button or by pressing Escape. */
  readonly onClose: () => void;
  readonly children: ComponentChildren;
}

/** Something that comes before all else until it is closed. */
export function Dialog({ title, open, onClose, children }: DialogProps) {
  const id = useId();
  const element = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = element.current;
    if (!dialog) return;
    if (open && !dialog.open) dialog.showModal();
    if (!open && dialog.open) dialog.close();
  }, [open]);
  return (
    <dialog ref={element} class="dialog" aria-labelledby={id} onClose={onClose}>
      <div class="stack">
        <h2 id={id}>{title}</h2>
        {open ? children : null}
        <div class="row">
          <Button onPress={onClose}>{texts.value.shell.close}</Button>
        </div>
      </div>
    </dialog>
  );
}
