import { useId } from 'preact/hooks';
import { texts } from '../../texts/texts.js';
import type { Busy } from '../model.js';

/** What is being done, and how far it has come. It keeps its place, so that nothing jumps. */
export function ProgressLine({ busy }: { readonly busy: Busy }) {
  const id = useId();
  const t = texts.value.take;
  return (
    <div class="take-progress" role="status">
      {busy === null ? null : (
        <>
          <span id={id}>{t.busy[busy.step]} …</span>
          <progress
            aria-labelledby={id}
            max={1}
            {...(busy.share === null ? {} : { value: busy.share })}
          />
        </>
      )}
    </div>
  );
}
