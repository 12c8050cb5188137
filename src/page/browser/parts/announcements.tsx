import { texts } from '../texts/texts.js';
import { polite, urgent, type Announcer } from './announce.js';

/** Where screen readers hear of what happens; once on the page. */
export function Announcements() {
  return (
    <div class="unseen">
      <div aria-live="polite">
        <Said by={polite} />
      </div>
      <div aria-live="assertive">
        <Said by={urgent} />
      </div>
    </div>
  );
}

function Said({ by }: { readonly by: Announcer }) {
  const { words, more, number } = by.said.value;
  if (words === '') return null;
  return (
    <p key={number}>
      {words} {more > 0 ? texts.value.shell.andMore(more) : ''}
    </p>
  );
}
