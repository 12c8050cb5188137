import { tuneOf, type Tune } from './tune.js';

/**
 * Made for this project, for the four-string touch bass; each asks for something else of a unit.
 * Strengths go from soft to hard within every tune.
 */
export const TUNES: readonly Tune[] = [
  // Every pad of the body, up and down.
  tuneOf(
    'kettle stairs',
    100,
    `E0/.5:50 E1/.5:62 E2/.5:74 E3/.5:86 E4/.5:95 A0/.5:80 A1/.5:68 A2/.5:56
     A3/.5:48 A4/.5:60 D0/.5:72 D1/.5:84 D2/.5:93 D3/.5:78 D4/.5:64 G0/.5:52
     G1/.5:60 G2/.5:70 G3/.5:82 G4/1:96 G3/.5:88 G2/.5:75 G1/.5:63 G0/.5:51
     D4/.5:58 D3/.5:69 D2/.5:81 D1/.5:92 D0/.5:83 A4/.5:71 A3/.5:59 A2/.5:47
     A1/.5:57 A0/.5:67 E4/.5:79 E3/.5:90 E2/.5:76 E1/.5:61 E0/2:85`,
  ),
  // A walking riff with rests, across strings.
  tuneOf(
    'lanterns along the lock',
    96,
    `E0/.75:90 E3/.25:55 A0/.5:70 A2/.5:82 -/.5 D0/.5:60 A2/.5:74 A0/.5:48
     E0/.75:92 E3/.25:52 A1/.5:66 A2/.5:86 -/.5 D2/.5:63 D0/.5:78 A2/.5:50
     A0/.75:94 A3/.25:57 D0/.5:72 D2/.5:84 -/.5 G0/.5:61 D2/.5:76 D0/.5:49
     E0/.5:88 E4/.5:68 A2/.5:58 A4/.5:80 G1/.5:97 D2/.5:65 A3/.5:53 E1/2:91`,
  ),
  // Repeated notes, some fast, with accents.
  tuneOf(
    'rain on the typewriter',
    104,
    `A3/.25:95 A3/.25:55 A3/.25:70 A3/.25:48 A3/.5:85 A3/.5:60 D0/.25:90 D0/.25:50
     D0/.25:68 D0/.25:53 D0/.5:80 D0/.5:64 E2/.25:97 E2/.25:58 E2/.25:74 E2/.25:46
     E2/.5:88 G1/.5:62 G1/.25:93 G1/.25:52 G1/.25:77 G1/.25:57 G1/.5:82 G1/.5:66
     A0/.25:91 A0/.25:49 A0/.25:72 A0/.25:59 A3/.5:84 A0/.5:54 E2/.5:78 E2/.25:63 E2/.25:87 E0/2:96`,
  ),
  // Fast changes of fret on one string, up and down, to the open string too, fingers overlapping.
  tuneOf(
    'plank across the ditch',
    104,
    `A1/.25:90 A3/.25:60 A2/.25:75 A4/.25:52 A3/.25:84 A1/.25:66 A0/.25:94 A2/.25:56
     A4/.25:80 A2/.25:63 A1/.25:88 A0/.25:50 A3/.5:97 A0/.5:70 D4/.25:86 D3/.25:58
     D2/.25:73 D1/.25:49 D0/.25:91 D2/.25:65 D1/.25:82 D3/.25:54 D0/.5:95 D4/.5:68
     E4/.25:89 E2/.25:57 E3/.25:77 E1/.25:47 E2/.25:85 E0/.25:61 E1/.25:93 E0/.25:53
     G4/.25:79 G1/.25:62 G3/.25:87 G0/.25:51 G2/.25:72 G1/.25:96 G4/.5:59 G0/2:83`,
  ),
  // Mostly open strings, crossing.
  tuneOf(
    'the gate left open',
    112,
    `E0/.5:88 A0/.5:54 D0/.5:71 G0/.5:62 D0/.5:80 A0/.5:48 E0/1:93 G0/.5:66
     G2/.5:85 G0/.5:52 D0/.5:74 D2/.5:95 D0/.5:58 A0/.5:82 A3/.5:64 A0/.5:90
     E0/.5:50 E3/.5:77 E0/.5:60 A0/.5:86 G0/.5:55 D0/.5:97 A0/.5:68 E0/.5:46 E0/2:84`,
  ),
  // Two strings at once, and one against the other.
  tuneOf(
    'two boats',
    92,
    `E0+D2/1:90 A0/.5:56 D2/.5:70 E3+D0/1:82 A2/.5:50 D0/.5:64 A0+G2/1:95 D0/.5:58
     G2/.5:75 A3+G0/1:86 D2/.5:48 G0/.5:67 E0+A2/.5:92 D2/.5:60 E2+A4/.5:78 D4/.5:53
     A1+D3/.5:88 G2/.5:63 A0+D2/.5:73 G0/.5:51 D1+G1/1:97 D0+G4/1:80 E4+A4/.5:66 E0+A0/2:85`,
  ),
  // Syncopated leaps over all strings, with rests.
  tuneOf(
    'marbles in the hall',
    108,
    `E1/.75:87 G3/.25:59 -/.25 D2/.5:72 A4/.25:50 E1/.5:92 G3/.5:65 A2/.25:80
     A3/.25:54 -/.5 G4/.5:96 E2/.5:61 D3/.25:76 D2/.25:49 A1/.5:84 G0/.25:57
     E3/.5:90 -/.25 E0/.5:68 G2/.25:82 D4/.25:52 A3/.25:74 E4/.5:95 G1/.5:63
     D0/.25:79 D3/.25:55 A2/.5:88 E2/.25:60 E3/.25:70 A0/2:93`,
  ),
];
