import { signal } from '@preact/signals';

/** Where a person is on the page: what follows `#` in its address. */
export type Route =
  | { readonly view: 'room' }
  | { readonly view: 'seat'; readonly name: string }
  | { readonly view: 'takes' }
  | { readonly view: 'take'; readonly name: string };

/** @example readRoute('#/seat/north') // { view: 'seat', name: 'north' } */
export function readRoute(hash: string): Route {
  const [view, ...rest] = hash.replace(/^#\/?/, '').split('/');
  const name = decoded(rest.join('/'));
  if (view === 'seat' && name !== '') return { view, name };
  if (view === 'take' && name !== '') return { view, name };
  return view === 'takes' ? { view } : { view: 'room' };
}

/** What a link to it has as its `href`. */
export function linkTo(route: Route): string {
  switch (route.view) {
    case 'room':
      return '#/';
    case 'takes':
      return '#/takes';
    case 'seat':
    case 'take':
      return `#/${route.view}/${encodeURIComponent(route.name)}`;
  }
}

function decoded(name: string): string {
  try {
    return decodeURIComponent(name);
  } catch {
    return name;
  }
}

/** Where the person is now. */
export const route = signal<Route>({ view: 'room' });

export function followRoute(): void {
  const follow = (): void => {
    route.value = readRoute(location.hash);
  };
  addEventListener('hashchange', follow);
  follow();
}
