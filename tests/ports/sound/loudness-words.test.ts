import { describe, expect, it } from 'vitest';
import type { Loudness } from '../../../src/engine/builtin/output.js';
import type { Notice } from '../../../src/ports/contracts.js';
import { tellLoudness } from '../../../src/ports/sound/loudness-words.js';

const heard: Loudness = {
  momentary: -30,
  shortTerm: -26,
  integrated: -24.26,
  truePeak: -1.1,
  limiting: 0,
  mostLimiting: 3.24,
};

function told(loudness: Loudness | null): Notice[] {
  const notices: Notice[] = [];
  tellLoudness(loudness, 'built-in', (notice) => notices.push(notice));
  return notices;
}

describe('how loud it was', () => {
  it('is told in one line', () => {
    expect(told(heard)).toEqual([
      {
        level: 'info',
        what: 'Loudness -24.3 LUFS, highest true peak -1.1 dBTP, turned down by up to 3.2 dB',
        where: 'built-in',
      },
    ]);
    expect(told({ ...heard, mostLimiting: 0.04 })[0]!.what).toMatch(
      /nothing had to be turned down$/,
    );
  });

  it('is not told where nothing was heard', () => {
    expect(told({ ...heard, integrated: -Infinity })).toEqual([]);
    expect(told(null)).toEqual([]);
  });
});
