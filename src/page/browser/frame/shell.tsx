import { linkTo, route } from '../route.js';
import { Announcements } from '../parts/announcements.js';
import { SpeakerPanel } from '../sound/speaker-panel.js';
import { texts } from '../texts/texts.js';
import type { Connection } from '../connection.js';
import { Attention } from './attention.js';
import { useComings } from './comings.js';
import { Guard } from './guard.js';
import { LinkHelp, LinkState } from './link-state.js';
import { Refused } from './refused.js';
import { Notices } from './notices.js';
import { Settings } from './settings.js';
import { Silence } from './silence.js';
import { Main } from './view.js';

interface ShellProps {
  readonly connection: Connection;
}

/** The frame around every view. */
export function Shell({ connection }: ShellProps) {
  const t = texts.value.shell;
  useComings(connection);
  return (
    <>
      <a
        class="skip button"
        href="#main"
        onClick={(event) => {
          // The address names the view, so that it cannot name the place in it too.
          event.preventDefault();
          document.getElementById('main')?.focus();
        }}
      >
        {t.skip}
      </a>
      <header class="head">
        <div class="head-inner">
          <h1>{connection.state.room.value?.name ?? t.title}</h1>
          <LinkState connection={connection} />
          <Views />
          <Attention connection={connection} />
          <Silence connection={connection} />
        </div>
        <Refused />
      </header>
      <div class="page">
        <LinkHelp connection={connection} />
        <Main connection={connection} />
        <aside class="aside">
          <Guard>
            <Notices connection={connection} />
          </Guard>
          <Guard>
            <SpeakerPanel connection={connection} />
          </Guard>
        </aside>
        <footer>
          <Settings />
        </footer>
      </div>
      <Announcements />
    </>
  );
}

function Views() {
  const t = texts.value.shell;
  const { view } = route.value;
  const inRoom = view === 'room' || view === 'seat';
  return (
    <nav aria-label={t.views} class="views">
      <a href={linkTo({ view: 'room' })} aria-current={mark(view === 'room', inRoom)}>
        {t.roomView}
      </a>
      <a href={linkTo({ view: 'takes' })} aria-current={mark(view === 'takes', !inRoom)}>
        {t.takesView}
      </a>
    </nav>
  );
}

/** The page itself, or one that lies below it. */
function mark(page: boolean, below: boolean): 'page' | 'true' | undefined {
  if (page) return 'page';
  return below ? 'true' : undefined;
}
