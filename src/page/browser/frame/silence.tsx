import { useEffect } from 'preact/hooks';
import { Button } from '../parts/button.js';
import { silenceHere } from '../sound/speaker.js';
import { polite, urgent } from '../parts/announce.js';
import { silenced } from '../parts/silenced.js';
import { texts } from '../texts/texts.js';
import type { Connection } from '../connection.js';

interface SilenceProps {
  readonly connection: Connection;
}

/** Ends all that sounds: always in sight, and by its key from anywhere but where a person writes or chooses. */
export function Silence({ connection }: SilenceProps) {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== 'Escape' || event.repeat || event.defaultPrevented || occupied(event))
        return;
      void silence(connection);
    };
    addEventListener('keydown', onKey);
    return () => {
      removeEventListener('keydown', onKey);
    };
  }, [connection]);
  const t = texts.value.shell;
  return (
    <Button
      look="danger"
      class="silence"
      title={t.silenceHelp}
      keys="Escape"
      onPress={() => void silence(connection)}
    >
      <svg viewBox="0 0 16 16" aria-hidden="true" focusable="false">
        <path d="M2 6h3l4-4v12l-4-4H2zM11.5 6l4 4M15.5 6l-4 4" />
      </svg>
      {t.silence} <kbd aria-hidden="true">Esc</kbd>
    </Button>
  );
}

async function silence(connection: Connection): Promise<void> {
  // This device at once, even where the service cannot be reached.
  silenceHere();
  silenced.value += 1;
  const t = texts.peek().shell;
  if (connection.guest.peek()) {
    polite.say(t.silencedHere);
    return;
  }
  const refused = await connection.ask({ ask: 'silence' });
  if (refused === null) polite.say(t.silenced);
  else urgent.say(t.notSilenced(refused));
}

/** Whether the key belongs to what has the focus: a field, or an open list. */
function occupied({ target }: KeyboardEvent): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.isContentEditable || target.matches('select, textarea')) return true;
  return (
    target instanceof HTMLInputElement && !['range', 'checkbox', 'radio'].includes(target.type)
  );
}
