import { MILLISECOND, SECOND, type Micros } from '../time/micros.js';

/** A text in each language that people read. */
export interface Words {
  readonly en: string;
  readonly de: string;
}

/**
 * How velocity grows with strength. A number: velocity = softest + (hardest − softest) · strength^curve.
 * `square`: the velocity at which a synthesizer's amplitude is proportional to the strength, from softest to
 * hardest. A table of [strength, velocity] stands as it is: strengths rise, velocities do not fall.
 */
export type Curve = number | 'square' | readonly (readonly [number, number])[];

/** What a rule may be; `plain` is its value where a rules file leaves it out, as the file would have it. */
type Kind =
  | { readonly is: 'flag'; readonly plain: boolean }
  | {
      readonly is: 'number' | 'whole';
      readonly least: number;
      readonly most: number;
      readonly plain: number;
    }
  | { readonly is: 'choice'; readonly of: readonly string[]; readonly plain: string }
  | {
      readonly is: 'time';
      readonly least: Micros;
      readonly most: Micros;
      /** The word `never` is allowed, too. */
      readonly never?: true;
      readonly plain: string;
    }
  | { readonly is: 'curve'; readonly plain: number };

/** All there is to say of one rule. */
export type Rule = Kind & {
  /** A few words, for a form. */
  readonly label: Words;
  /** What it does, in a sentence. */
  readonly about: Words;
  /** What more or less of it does to the playing: the comment in plain.yaml. */
  readonly advice: string;
  /**
   * Values that `fit` may try, in their order; times in milliseconds, and `never` is null. Left out: how it is
   * set is a matter of taste, and it is not searched.
   */
  readonly tries?: readonly (number | string | boolean | null)[];
  /** What it may be changed for; see `FitKey`. */
  readonly triedFor?: 'notes' | 'strength';
};

export interface RuleGroup {
  readonly title: Words;
  readonly about: Words;
  readonly rules: Readonly<Record<string, Rule>>;
}

/** Which module plays instead of the built-in logic: the one rule that is in no group. */
export const LOGIC = {
  label: { en: 'File of your own logic', de: 'Datei mit eigener Logik' },
  about: {
    en: 'A file of your own that plays instead of the built-in logic; its path from here.',
    de: 'Eine eigene Datei, die statt der eingebauten Logik spielt; ihr Pfad von hier aus.',
  },
  advice: 'Logic of your own instead of the built-in one: its file, such as `../logic/strum.ts`.',
} as const;

/**
 * The rules, in the order of a rules file: the one place where they are listed. The type `Rules`, the schema of
 * rules files, plain.yaml, what a module of one's own is given, `fit` and the page's form come from here.
 */
export const RULES = {
  touch: {
    title: { en: 'Touch', de: 'Berührung' },
    about: { en: 'When a pad counts as touched.', de: 'Wann ein Feld als berührt gilt.' },
    rules: {
      on: {
        is: 'number',
        least: 0.01,
        most: 1,
        plain: 0.2,
        label: { en: 'A touch begins at', de: 'Berührung beginnt bei' },
        about: {
          en: 'The level at which a touch begins.',
          de: 'Der Pegel, bei dem eine Berührung beginnt.',
        },
        advice: 'Lower, a lighter touch already counts; too low, pads sound that nobody touched.',
        tries: [0.05, 0.08, 0.12, 0.16, 0.2, 0.25, 0.3, 0.4, 0.5, 0.65],
      },
      off: {
        is: 'number',
        least: 0,
        most: 0.99,
        plain: 0.12,
        label: { en: 'A touch may end under', de: 'Berührung kann enden unter' },
        about: {
          en: 'The lower level under which a touch may end.',
          de: 'Der tiefere Pegel, unter dem eine Berührung enden kann.',
        },
        advice:
          'Closer to `on`, a pad lets go sooner; too close, one long touch crackles into many.',
        tries: [],
      },
      lift: {
        is: 'time',
        least: 0,
        most: SECOND,
        plain: '24ms',
        label: { en: 'Lifts after', de: 'Losgelassen nach' },
        about: {
          en: 'How long a level must stay under `off` before the pad counts as lifted.',
          de: 'Wie lange ein Pegel darunter bleiben muss, bis das Feld als losgelassen gilt.',
        },
        advice:
          'Longer, a trembling finger no longer breaks a note; too long, quick repeats run together.',
        tries: [4, 8, 16, 24, 36, 50, 80],
      },
    },
  },
  strength: {
    title: { en: 'Strength', de: 'Stärke' },
    about: {
      en: 'How long to look for how hard a touch was.',
      de: 'Wie lange gemessen wird, wie fest eine Berührung war.',
    },
    rules: {
      readings: {
        is: 'whole',
        least: 0,
        most: 20,
        plain: 1,
        label: { en: 'More readings for the peak', de: 'Weitere Messwerte für die Spitze' },
        about: {
          en: 'How many more readings to look at for the peak of a touch; 0 waits for none.',
          de: 'Wie viele weitere Messwerte nach der Spitze einer Berührung durchsucht werden; 0 wartet auf keinen.',
        },
        advice:
          'More readings tell soft from hard better; each one makes every note start a little later.',
        tries: [0, 1, 2, 3],
        triedFor: 'strength',
      },
      within: {
        is: 'time',
        least: 0,
        most: 100 * MILLISECOND,
        plain: '24ms',
        label: { en: 'Wait for them at most', de: 'Höchstens darauf warten' },
        about: {
          en: 'The longest wait for those readings.',
          de: 'Wie lange höchstens auf diese Messwerte gewartet wird.',
        },
        advice: 'A slow board makes no note start later than this after the touch.',
        tries: [8, 16, 24, 40],
        triedFor: 'strength',
      },
    },
  },
  velocity: {
    title: { en: 'Velocity', de: 'Anschlag' },
    about: { en: 'How loud a touch of some strength is.', de: 'Wie laut eine Berührung ist.' },
    rules: {
      softest: {
        is: 'whole',
        least: 1,
        most: 127,
        plain: 20,
        label: { en: 'Velocity of the softest touch', de: 'Anschlag der leisesten Berührung' },
        about: {
          en: 'The MIDI velocity of the softest touch.',
          de: 'Die MIDI-Anschlagstärke der leisesten Berührung.',
        },
        advice: 'Higher, the softest touches are easier to hear.',
        tries: [1, 10, 20, 30, 40, 50, 60],
      },
      hardest: {
        is: 'whole',
        least: 1,
        most: 127,
        plain: 127,
        label: { en: 'Velocity of the hardest touch', de: 'Anschlag der festesten Berührung' },
        about: {
          en: 'The MIDI velocity of the hardest touch.',
          de: 'Die MIDI-Anschlagstärke der festesten Berührung.',
        },
        advice: 'Lower, hard touches no longer stand out.',
        tries: [70, 85, 100, 115, 127],
      },
      curve: {
        is: 'curve',
        plain: 1,
        label: { en: 'Curve between them', de: 'Verlauf dazwischen' },
        about: {
          en: 'How velocity grows with strength: a power (above 1 late, below 1 early), `square`, or a table.',
          de: 'Wie der Anschlag mit der Stärke wächst: eine Potenz (über 1 spät, unter 1 früh), „square“ oder eine Tabelle.',
        },
        advice:
          'Above 1 it takes a firm touch to be loud; below 1 light touches are loud already. With `square`, a synthesizer is as loud as the touch was hard. Or pairs of strength and velocity of your own, such as [[0, 20], [0.5, 90], [1, 127]], which `softest` and `hardest` do not change.',
        tries: [0.5, 0.7, 1, 1.4, 2, 'square'],
      },
    },
  },
  strings: {
    title: { en: 'Strings', de: 'Saiten' },
    about: {
      en: 'How frets and plucks make notes.',
      de: 'Wie aus Bünden und Zupfern Töne werden.',
    },
    rules: {
      stop: {
        is: 'choice',
        of: ['highest', 'lowest', 'latest'],
        plain: 'highest',
        label: { en: 'Fret that counts', de: 'Bund, der zählt' },
        about: {
          en: 'Which of several held frets stops the string.',
          de: 'Welcher von mehreren gehaltenen Bünden die Saite verkürzt.',
        },
        advice:
          'With two frets of a string held, the one nearest the body counts; or `lowest`, or `latest`.',
        tries: ['highest', 'lowest', 'latest'],
      },
      'hammer-on': {
        is: 'flag',
        plain: false,
        label: { en: 'Hammer-on', de: 'Aufschlag (Hammer-on)' },
        about: {
          en: 'A fret pressed on a sounding string changes its note.',
          de: 'Ein Bund, der auf einer klingenden Saite gedrückt wird, ändert ihren Ton.',
        },
        advice:
          'With `true`, pressing a higher fret on a sounding string changes its note without a new pluck.',
        tries: [false, true],
        triedFor: 'notes',
      },
      'pull-off': {
        is: 'flag',
        plain: false,
        label: { en: 'Pull-off', de: 'Abzug (Pull-off)' },
        about: {
          en: 'A fret lifted off a sounding string changes its note.',
          de: 'Ein Bund, der auf einer klingenden Saite gelöst wird, ändert ihren Ton.',
        },
        advice:
          'With `true`, lifting to a lower fret on a sounding string changes its note without a new pluck.',
        tries: [false, true],
        triedFor: 'notes',
      },
      slide: {
        is: 'flag',
        plain: false,
        label: { en: 'Slide', de: 'Rutscher (Slide)' },
        about: {
          en: 'Going from a fret to its neighbour changes the note.',
          de: 'Von einem Bund zum Nachbarn zu gehen ändert den Ton.',
        },
        advice: 'With `true`, going on to the neighbour fret carries the note along.',
        tries: [false, true],
        triedFor: 'notes',
      },
      'slide-overlap': {
        is: 'time',
        least: 0,
        most: 2 * SECOND,
        plain: '120ms',
        label: { en: 'Slide: both frets at most', de: 'Rutscher: höchstens beide Bünde' },
        about: {
          en: 'The longest that a slide may hold the old fret after the new one is pressed.',
          de: 'Wie lange ein Rutscher höchstens den alten Bund hält, wenn der neue schon gedrückt ist.',
        },
        advice: 'Longer, slow slides that keep the old fret down still carry the note.',
        tries: [40, 80, 120, 200],
        triedFor: 'notes',
      },
      'slide-gap': {
        is: 'time',
        least: 0,
        most: 2 * SECOND,
        plain: '30ms',
        label: { en: 'Slide: no fret at most', de: 'Rutscher: höchstens kein Bund' },
        about: {
          en: 'The longest that a slide may leave the string between the two frets.',
          de: 'Wie lange ein Rutscher die Saite zwischen zwei Bünden höchstens verlässt.',
        },
        advice: 'Longer, slides that leave the string for a moment still carry the note.',
        tries: [10, 30, 60, 100],
        triedFor: 'notes',
      },
      'pluck-after': {
        is: 'time',
        least: 0,
        most: 500 * MILLISECOND,
        never: true,
        plain: '130ms',
        label: {
          en: 'Fret and pluck are one note within',
          de: 'Bund und Zupfer sind ein Ton innerhalb von',
        },
        about: {
          en: 'A pluck at most this long after its fret carried the note on was meant for that fret.',
          de: 'Ein Zupfer, der höchstens so lange nach einem Bund kommt, der den Ton schon geändert hat, war für diesen Bund gemeint.',
        },
        advice:
          'With these three rules: longer, a pluck that follows its fret by more still gives one note; or `never`.',
        tries: [null, 60, 90, 130, 180],
        triedFor: 'notes',
      },
      'wait-for-pluck': {
        is: 'choice',
        of: ['never', 'often', 'always'],
        plain: 'often',
        label: { en: 'Fret waits for its pluck', de: 'Bund wartet auf seinen Zupfer' },
        about: {
          en: 'Whether a fret that would carry a note on waits for a pluck; often: while the player often plucks then.',
          de: 'Ob ein Bund, der den Ton ändern würde, auf einen Zupfer wartet; oft: solange der Spieler danach meist zupft.',
        },
        advice:
          'Whether they wait for such a pluck: `often` while the player often frets first, or `always`, `never`.',
        tries: ['never', 'often', 'always'],
        triedFor: 'notes',
      },
      ring: {
        is: 'time',
        least: 10 * MILLISECOND,
        most: 60 * SECOND,
        plain: '4s',
        label: { en: 'Open string rings', de: 'Leere Saite klingt' },
        about: {
          en: 'How long an open string rings.',
          de: 'Wie lange eine leere Saite klingt.',
        },
        advice: 'An open string falls silent after this long, since no finger ends it.',
      },
      'damp-by-fret': {
        is: 'flag',
        plain: true,
        label: { en: 'A fret damps', de: 'Ein Bund dämpft' },
        about: {
          en: 'A fret pressed on a ringing open string ends its note.',
          de: 'Ein Bund, der auf einer klingenden leeren Saite gedrückt wird, beendet ihren Ton.',
        },
        advice: 'With `true`, laying a finger on a fret stops a ringing open string.',
      },
      'damp-by-hold': {
        is: 'time',
        least: 10 * MILLISECOND,
        most: 60 * SECOND,
        never: true,
        plain: 'never',
        label: { en: 'Holding the pluck pad damps after', de: 'Halten des Zupffelds dämpft nach' },
        about: {
          en: 'A pluck pad held this long after its pluck ends the note.',
          de: 'Ein Zupffeld, das nach dem Zupfen so lange gehalten wird, beendet den Ton.',
        },
        advice:
          'With a time such as 400ms, a finger that stays on the pluck pad for so long ends the note.',
      },
      'late-fret': {
        is: 'time',
        least: 0,
        most: 200 * MILLISECOND,
        never: true,
        plain: '22ms',
        label: { en: 'Late fret still counts', de: 'Später Bund zählt noch' },
        about: {
          en: 'A fret pressed at most this long after its pluck was meant for it.',
          de: 'Ein Bund, der höchstens so lange nach dem Zupfen kommt, war dafür gemeint.',
        },
        advice:
          'Longer, a fret that comes after its pluck still gives the note that was meant; or `never`.',
        tries: [null, 8, 15, 22, 30, 45],
      },
      'wait-for-fret': {
        is: 'choice',
        of: ['never', 'often', 'always'],
        plain: 'often',
        label: { en: 'Pluck waits for a fret', de: 'Zupfer wartet auf einen Bund' },
        about: {
          en: 'Whether a pluck waits for a late fret; often: while the player is often late.',
          de: 'Ob ein Zupfer auf einen späten Bund wartet; oft: solange der Spieler häufig spät ist.',
        },
        advice:
          'Whether notes wait for such a fret: `often` while the player is often late, or `always`, `never`.',
        tries: ['never', 'often', 'always'],
      },
      'early-lift': {
        is: 'time',
        least: 0,
        most: 200 * MILLISECOND,
        plain: '36ms',
        label: { en: 'Fret lifted early still counts', de: 'Früh gelöster Bund zählt noch' },
        about: {
          en: 'A fret that no pluck has used yet still counts this long after it let go.',
          de: 'Ein Bund, den noch kein Zupfer gebraucht hat, zählt so lange nach dem Loslassen noch.',
        },
        advice:
          'Longer, a fret that let go a little before its pluck still gives the note that was meant.',
        tries: [0, 12, 24, 36, 50, 80],
      },
      'resting-thumb': {
        is: 'time',
        least: MILLISECOND,
        most: SECOND,
        never: true,
        plain: '9ms',
        label: { en: 'Resting thumb from', de: 'Ruhender Daumen ab' },
        about: {
          en: 'A finger that is seen longer than this on its way onto a pluck pad only rests there.',
          de: 'Ein Finger, der länger als so auf dem Weg zum Zupffeld zu sehen ist, ruht dort nur.',
        },
        advice:
          'Shorter, a thumb that is laid on a pluck pad sounds nothing; too short, soft plucks do not either.',
        tries: [null, 5, 7, 9, 12, 16, 24],
      },
      brush: {
        is: 'time',
        least: 0,
        most: 200 * MILLISECOND,
        never: true,
        plain: '44ms',
        label: { en: 'Brushed string waits', de: 'Gestreifte Saite wartet' },
        about: {
          en: 'A weak pluck beside a firm one waits this long, and is left out if it is over by then.',
          de: 'Ein schwacher Zupfer neben einem festen wartet so lange und entfällt, wenn er dann vorbei ist.',
        },
        advice:
          'Longer, a finger that grazes the next string sounds nothing there; weak notes of chords come later.',
        tries: [null, 15, 30, 44, 60, 90],
      },
      'brush-share': {
        is: 'number',
        least: 0,
        most: 1,
        plain: 0.75,
        label: { en: 'Brushed when weaker than', de: 'Gestreift, wenn schwächer als' },
        about: {
          en: "How weak: less than this share of the other pluck's level.",
          de: 'Wie schwach: weniger als dieser Anteil vom Pegel des anderen Zupfers.',
        },
        advice: 'Higher, firmer touches of the next string count as grazing it too.',
        tries: [0.3, 0.45, 0.6, 0.75, 0.9],
      },
    },
  },
  keys: {
    title: { en: 'Keys', de: 'Tasten' },
    about: { en: 'How touch keys make notes.', de: 'Wie aus Tasten Töne werden.' },
    rules: {
      'ring-on': {
        is: 'time',
        least: 0,
        most: 10 * SECOND,
        plain: '0ms',
        label: { en: 'Rings on', de: 'Klingt nach' },
        about: {
          en: 'How long a key sounds on after its finger has left.',
          de: 'Wie lange eine Taste nachklingt, wenn der Finger fort ist.',
        },
        advice: 'Longer, the notes of touch keys run into each other.',
      },
    },
  },
  holes: {
    title: { en: 'Holes', de: 'Löcher' },
    about: {
      en: 'How the fingering of a pipe makes notes.',
      de: 'Wie aus den Griffen einer Pfeife Töne werden.',
    },
    rules: {
      settle: {
        is: 'time',
        least: 0,
        most: SECOND,
        plain: '55ms',
        label: { en: 'Fingers come to rest', de: 'Finger kommen zur Ruhe' },
        about: {
          en: 'How long the fingers must have come to rest before a fingering counts.',
          de: 'Wie lange die Finger zur Ruhe gekommen sein müssen, bis ein Griff zählt.',
        },
        advice:
          'Shorter, a pipe answers sooner; too short, notes between two fingerings sound for a moment.',
        tries: [10, 20, 30, 40, 55, 75, 100],
      },
      'mouth-waits': {
        is: 'flag',
        plain: true,
        label: { en: 'Mouth waits for fingers', de: 'Mund wartet auf Finger' },
        about: {
          en: 'A touch of the mouth waits for fingers that come right after it as well.',
          de: 'Eine Berührung des Munds wartet auch auf Finger, die gleich danach kommen.',
        },
        advice:
          'With `false`, the mouth sounds at once, also while fingers that are a little late still move.',
        tries: [false, true],
      },
      unknown: {
        is: 'choice',
        of: ['keep', 'end'],
        plain: 'keep',
        label: { en: 'Unknown fingering', de: 'Unbekannter Griff' },
        about: {
          en: 'What a fingering that is not in the chart does to the note that sounds.',
          de: 'Was ein Griff, der nicht in der Tabelle steht, mit dem klingenden Ton macht.',
        },
        advice:
          'With `end`, a fingering that the chart does not have is silent instead of holding the note before.',
        tries: ['keep', 'end'],
        triedFor: 'notes',
      },
    },
  },
  hits: {
    title: { en: 'Hits', de: 'Schläge' },
    about: { en: 'How drum pads make notes.', de: 'Wie aus Schlagfeldern Töne werden.' },
    rules: {
      mask: {
        is: 'time',
        least: 0,
        most: SECOND,
        plain: '40ms',
        label: { en: 'Deaf after a hit', de: 'Taub nach einem Schlag' },
        about: {
          en: 'How long a drum pad that was hit is deaf to further hits.',
          de: 'Wie lange ein getroffenes Schlagfeld für weitere Schläge taub ist.',
        },
        advice: 'Shorter, quicker drum rolls are heard; too short, one hit sounds twice.',
        tries: [10, 20, 30, 40, 60, 90, 130],
      },
      ring: {
        is: 'time',
        least: MILLISECOND,
        most: 10 * SECOND,
        plain: '400ms',
        label: { en: 'Hit lasts', de: 'Schlag dauert' },
        about: {
          en: 'How long a hit lasts, for sounds that go on until they are ended.',
          de: 'Wie lange ein Schlag dauert, bei Klängen, die erst ein Ende beendet.',
        },
        advice: 'Longer, drum sounds that go on until they are ended last longer.',
      },
    },
  },
  voices: {
    title: { en: 'Voices', de: 'Stimmen' },
    about: { en: 'How many notes one unit may sound.', de: 'Wie viele Töne zugleich klingen.' },
    rules: {
      most: {
        is: 'whole',
        least: 1,
        most: 64,
        plain: 10,
        label: { en: 'Notes at once', de: 'Töne zugleich' },
        about: {
          en: 'How many notes of one unit sound at once.',
          de: 'Wie viele Töne eines Instruments zugleich klingen.',
        },
        advice: 'Fewer, chords thin out; more, one player can fill the room.',
      },
      keep: {
        is: 'choice',
        of: ['lowest', 'highest', 'latest', 'loudest'],
        plain: 'latest',
        label: { en: 'Notes that stay', de: 'Töne, die bleiben' },
        about: {
          en: 'Which notes stay when there are more.',
          de: 'Welche Töne bleiben, wenn es mehr sind.',
        },
        advice:
          'With more notes than that, the newest stay; or the `lowest`, `highest` or `loudest`.',
      },
    },
  },
} as const satisfies Readonly<Record<string, RuleGroup>>;

type Table = typeof RULES;

/** The value of a rule in the program: times are microseconds, `never` is null. */
type ValueOf<R> = R extends { readonly is: 'flag' }
  ? boolean
  : R extends { readonly is: 'number' | 'whole' }
    ? number
    : R extends { readonly is: 'choice'; readonly of: readonly (infer Word)[] }
      ? Word
      : R extends { readonly is: 'time'; readonly never: true }
        ? Micros | null
        : R extends { readonly is: 'time' }
          ? Micros
          : R extends { readonly is: 'curve' }
            ? Curve
            : never;

/** The settings of the playing logic, by group, as the program has them. */
export type RuleValues = {
  readonly [Group in keyof Table]: {
    readonly [Name in keyof Table[Group]['rules']]: ValueOf<Table[Group]['rules'][Name]>;
  };
};

/** The same table for whoever goes through it. */
export const RULE_GROUPS: readonly (readonly [string, RuleGroup])[] = Object.entries(RULES);

/** Each rule under its whole key, such as `touch.on`. */
export const RULE_LIST: readonly {
  readonly key: string;
  readonly group: string;
  readonly rule: Rule;
}[] = RULE_GROUPS.flatMap(([group, { rules }]) =>
  Object.entries(rules).map(([name, rule]) => ({ key: `${group}.${name}`, group, rule })),
);
