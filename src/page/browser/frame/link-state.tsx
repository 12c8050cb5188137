import { Status, type Standing } from '../parts/status.js';
import { Help } from '../parts/help.js';
import { texts } from '../texts/texts.js';
import type { Connection } from '../connection.js';

interface LinkProps {
  readonly connection: Connection;
}

const STANDING = { connecting: 'plain', open: 'good', lost: 'bad', refused: 'bad' } as const;

/** Whether the page hears of the room, in words. */
export function LinkState({ connection }: LinkProps) {
  const link = connection.link.value;
  const t = texts.value.shell;
  const over = link === 'lost' && hasEnded(connection);
  const standing: Standing = over ? 'plain' : STANDING[link];
  return (
    <span role="status">
      <Status standing={standing}>{over ? t.over : t.link[link]}</Status>
    </span>
  );
}

/** What holds for the whole page and is not as usual: one sentence each, none where all is well. */
export function LinkHelp({ connection }: LinkProps) {
  const t = texts.value.shell;
  const link = connection.link.value;
  const ended = hasEnded(connection);
  return (
    <>
      {link === 'lost' && !ended ? <Banner words={t.lostHelp} /> : null}
      {link === 'refused' ? <Banner words={t.refusedHelp} /> : null}
      {ended && link !== 'refused' ? <Banner words={t.ended} /> : null}
      {connection.guest.value ? <Help>{t.guest}</Help> : null}
    </>
  );
}

function hasEnded({ state }: Connection): boolean {
  return state.room.value?.playing === false;
}

function Banner({ words }: { readonly words: string }) {
  return (
    <p class="banner">
      <Status standing="bad">{words}</Status>
    </p>
  );
}
