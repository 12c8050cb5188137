/** The texts of "Sound here". Figures and their sources: "How loud" in the README. */
export const sound = {
  heading: 'Sound here',
  about: 'This device can be the loudspeaker: it then sounds all that is played in the room.',
  turnOn: 'Sound on this device',
  turnOff: 'Turn it off',
  opening: 'Getting ready …',
  caution:
    'Before you turn it on: turn this device’s volume down. One player plays as hard as they can, you set the volume so that it is comfortable at the nearest ear, and only then the others join in. No headphones or earphones for this.',
  states: {
    off: 'Off: nothing sounds on this device.',
    on: 'On: this device sounds the room.',
    waiting: 'On, but silent: there is no link to pluckwork.',
    held: 'The browser holds the sound back until you touch the page.',
    hidden: 'Silent while this page is hidden.',
    failed: 'Failed again and again, and stays silent. Turn it off and on again.',
    closed: 'Off: nothing sounds on this device.',
  },
  resume: 'Let it sound',
  refused: (why: string) => `It cannot sound the room: ${why}`,
  notHere: (why: string) =>
    `This browser cannot sound the room. Try another browser, or a newer one. (${why})`,
  stay: 'Keep this page in view and the screen on: hidden, it is silent.',
  doubled: (names: string) =>
    `Also switched on: ${names}. Two loudspeakers in one room sound doubled, one a little later. Turn the other one off in the room view, or this one here.`,
  level: 'Level of this device',
  levelWords: (percent: number, decibels: string) =>
    percent === 0 ? 'silent' : `${String(percent)} % (${decibels} dB)`,
  loudness: 'Loudness, last 3 seconds',
  standing: {
    silent: 'Nothing sounds',
    quiet: 'Well below the limit',
    usual: 'Below the limit',
    near: 'Close to the limit',
    held: 'Held down at the limit',
  },
  lufs: (now: string, most: string) => `${now} of at most ${most} LUFS`,
  lufsOpen: (now: string) => `${now} LUFS`,
  peak: (now: string, most: string) => `Highest peak ${now} of at most ${most} dBTP`,
  heldBy: (decibels: string) => `turned down by ${decibels} dB`,
  nothing: 'silence',
  delay: (ms: number) => `Sounds about ${String(ms)} ms after the touch.`,
  gaps: (count: number) =>
    count === 1
      ? 'It broke off once. If it does so again, close other programs and pages on this device.'
      : `It broke off ${String(count)} times. Close other programs and pages on this device.`,
  ears: 'How loud is too loud?',
  earsText: [
    'These figures are about the signal, not about the room: the volume of the device and the loudspeaker make sound pressure of them. Only a sound level meter near an ear can tell that.',
    'As a stand-in, for personal devices (ITU-T H.870): 80 dB(A) for adults and 75 dB(A) for children for 40 hours a week, and each 3 dB more halves the time. For work: 80 and 85 dB(A) over 8 hours call for measures, and 87 is the limit (EU directive 2003/10/EC).',
    'Your local rules, and staff trained in them, come first, above all where somebody’s hearing needs care. Take a break when ears ring or voices sound dull, and agree on a sign for silence.',
  ],
};
