/** The frame around every view. */
export const shell = {
  title: 'pluckwork',
  skip: 'Go to the contents',
  views: 'Views',
  roomView: 'Room',
  takesView: 'Takes',
  settings: 'Language and light',
  language: 'Language',
  scheme: 'Light',
  schemes: { auto: 'As the device', light: 'Bright', dark: 'Dark' },
  close: 'Close',

  link: {
    connecting: 'Connecting',
    open: 'Connected',
    lost: 'Connection lost: trying again by itself',
    refused: 'Refused',
  },
  lostHelp:
    'What you see is how it was last. Playing goes on without this page. If this stays, look whether pluckwork still runs, and whether this device is in the same network.',
  refusedHelp:
    'This link does not open the page: its key is missing, or no longer holds. Ask for the link that pluckwork printed as it started, and open that.',
  ended:
    'The room has ended: nothing more will come. Start it again, and this page follows by itself.',
  guest: 'You are looking on: everything is shown, and nothing can be changed with this link.',
  waiting: 'Waiting for the room…',
  notAsked: 'Not done: there is no connection to pluckwork just now. Try again once it is back.',

  silence: 'Silence',
  silenceHelp: 'Ends all that sounds, in every engine. Key: Escape.',
  silenced: 'Silenced: all that sounded has ended.',
  notSilenced: (why: string) =>
    `Not silenced: ${why} If it is too loud, turn the speaker itself down.`,

  notices: 'What happened',
  noNotices: 'Nothing yet.',
  noticeLevel: { info: 'For your information', warn: 'Look at this', error: 'Needs mending' },
  noticeWhere: 'Where',
  noticeNext: 'What to do',
  olderNotices: (count: number) => `Older (${String(count)})`,
  andMore: (count: number) => (count === 1 ? 'And one more.' : `And ${String(count)} more.`),

  noSeat: (name: string) => `There is no seat called ${name} in this room.`,
  toRoom: 'Back to the room',
  broken: 'This part of the page failed. Load the page anew; playing is not touched by it.',
};
