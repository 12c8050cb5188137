import { effect } from '@preact/signals';
import { render } from 'preact';
import { connect } from './connect.js';
import { later } from './parts/wish.js';
import { followRoute } from './route.js';
import { Shell } from './frame/shell.js';
import { followScheme } from './style/scheme.js';
import { followLanguage, texts } from './texts/texts.js';

const connection = connect({
  open() {
    const url = new URL(`link${location.search}`, location.href);
    url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:';
    url.hash = '';
    return new WebSocket(url);
  },
  later,
  chance: Math.random,
  reload() {
    location.reload();
  },
  notAsked: () => texts.peek().shell.notAsked,
});

followLanguage();
followScheme();
followRoute();
addEventListener('online', connection.now);
document.addEventListener('visibilitychange', () => {
  if (!document.hidden) connection.now();
});
effect(() => {
  const { name } = connection.state.room.value ?? {};
  const { title } = texts.value.shell;
  document.title = name === undefined ? title : `${name} – ${title}`;
});

const root = document.getElementById('page');
if (root) render(<Shell connection={connection} />, root);
