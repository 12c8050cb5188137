/**
 * What the page does by itself: zoom, scroll, and go from difference to difference, by buttons and
 * by keys. All is drawn already; this only says how wide a second is and what part is in view.
 */
export const SCRIPT = `
'use strict';
(() => {
  const by = (id) => document.getElementById(id);
  const view = by('view');
  const sheet = by('sheet');
  const told = by('told');
  const number = (name) => Number(sheet.style.getPropertyValue(name));
  const [start, held] = [number('--t0'), number('--held')];
  const ticks = [...sheet.querySelectorAll('.tick')];
  const rows = [...document.querySelectorAll('tr[data-n]')];
  const CLOSEST = 0.02;
  let px = 200;
  let current = null;

  const room = () => Math.max(50, view.clientWidth - sheet.querySelector('.names').offsetWidth);
  const span = () => ({ from: start + view.scrollLeft / px, length: room() / px });

  function show(from, length) {
    length = Math.min(held, Math.max(CLOSEST, length));
    from = Math.min(start + held - length, Math.max(start, from));
    px = room() / length;
    sheet.style.setProperty('--px', px + 'px');
    const step = [1, 2, 5, 10, 30, 60].find((one) => one * px > 50) || 300;
    for (const tick of ticks) tick.hidden = Number(tick.dataset.s) % step !== 0;
    view.scrollLeft = (from - start) * px;
    tell();
  }

  function tell() {
    const { from, length } = span();
    sheet.style.setProperty('--from', from.toFixed(4));
    sheet.style.setProperty('--span', length.toFixed(4));
    const digits = length < 1 ? 3 : 2;
    by('shown').textContent = from.toFixed(digits) + ' to ' + (from + length).toFixed(digits) + ' s';
  }

  function zoom(factor) {
    const { from, length } = span();
    const middle = from + length / 2;
    show(middle - length / factor / 2, length / factor);
  }

  function move(share) {
    const { from, length } = span();
    show(from + share * length, length);
  }

  function say(words) {
    told.textContent = words;
    told.classList.add('found');
  }

  function mark(row) {
    for (const one of document.querySelectorAll('.current')) one.classList.remove('current');
    current = row;
    if (!row) return;
    for (const one of document.querySelectorAll('[data-n="' + row.dataset.n + '"]'))
      one.classList.add('current');
    say(row.dataset.told);
  }

  function go(row) {
    if (!row) return;
    mark(row);
    const { length } = span();
    show(Number(row.dataset.t) - 0.3 * length, length);
    const { scrollLeft } = view;
    by('d' + row.dataset.n)?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
    view.scrollLeft = scrollLeft;
  }

  const listed = () => rows.filter((row) => !row.hidden);

  function next(way) {
    const all = listed();
    if (all.length === 0) {
      say('Nothing of this kind differs.');
      return;
    }
    const at = all.indexOf(current);
    if (at >= 0) {
      go(all[(at + way + all.length) % all.length]);
      return;
    }
    const after = all.findIndex((row) => Number(row.dataset.t) >= span().from);
    const near = after < 0 ? all.length : after;
    go(all[way > 0 ? near % all.length : (near - 1 + all.length) % all.length]);
  }

  function choose() {
    const kinds = by('which').value.split(' ');
    for (const row of rows)
      row.hidden = kinds[0] !== '' && !row.dataset.kinds.split(' ').some((one) => kinds.includes(one));
    if (current && current.hidden) mark(null);
    say(listed().length + (listed().length === 1 ? ' difference' : ' differences') + ' of this kind');
  }

  const acts = {
    earlier: () => move(-0.5), later: () => move(0.5), out: () => zoom(0.5), in: () => zoom(2),
    before: () => next(-1), after: () => next(1),
  };
  for (const [id, act] of Object.entries(acts)) by(id).addEventListener('click', act);
  by('which').addEventListener('change', choose);

  const keys = {
    '+': acts.in, '=': acts.in, '-': acts.out, n: acts.after, p: acts.before,
    ArrowLeft: () => move(-0.25), ArrowRight: () => move(0.25),
    Home: () => show(start, span().length), End: () => show(start + held, span().length),
  };
  document.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target.tagName === 'SELECT') return;
    const scrolls = event.key.length > 1;
    if (scrolls && event.target !== view && event.target !== document.body) return;
    const act = keys[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });

  document.addEventListener('click', (event) => {
    const link = event.target.closest('a[data-go]');
    const note = event.target.closest('.sheet [data-n]');
    const row = (link || note) && rows.find((one) => one.dataset.n === (link ? link.dataset.go : note.dataset.n));
    if (!row) return;
    if (note) {
      mark(row);
      return;
    }
    event.preventDefault();
    go(row);
    view.focus();
  });

  let drawn = { from: number('--from'), length: number('--span') };
  let printing = false;
  view.addEventListener('scroll', () => {
    if (printing) return;
    tell();
    drawn = span();
  });
  window.addEventListener('resize', () => { if (!printing) show(drawn.from, drawn.length); });
  // On paper the style sheet puts the part in view at the left edge.
  window.addEventListener('beforeprint', () => {
    printing = true;
    view.scrollLeft = 0;
  });
  window.addEventListener('afterprint', () => {
    printing = false;
    show(drawn.from, drawn.length);
  });
  document.documentElement.classList.remove('still');
  show(drawn.from, drawn.length);
})();
`;
