import { expect } from 'vitest';
import { oscEncoder, type OscOut } from '../../src/engine/osc.js';
import { PLAIN } from '../../src/engine/osc-messages.js';
import { engineContract, type Heard } from '../contract/engines.js';
import { readWithBoth } from './osc-readers.js';

function receive({ packet }: OscOut): Heard[] {
  const heard = readWithBoth(packet).map(({ address, args }): Heard | null => {
    for (const arg of args) if (typeof arg === 'number') expect(Number.isFinite(arg)).toBe(true);
    if (address === '/silence') return { kind: 'silence' };
    if (address === '/seat/mix') return null;
    expect(['/note/on', '/note/off']).toContain(address);
    return { kind: address === '/note/on' ? 'on' : 'off', sound: String(args[0]) };
  });
  return heard.filter((one) => one !== null);
}

const soundOf = ({ voice }: { voice: number }): string => String(voice);

engineContract('OSC, plain messages', {
  encoder: (seats) => oscEncoder({ seats, messages: PLAIN, ahead: null }),
  receive,
  soundOf,
});

engineContract('OSC, bundles ahead', {
  encoder: (seats) =>
    oscEncoder({
      seats,
      messages: PLAIN,
      ahead: { by: 20_000, toUnix: (t) => t + 1_700_000_000_000_000 },
    }),
  receive,
  soundOf,
});

engineContract('OSC, with messages about each mix', {
  encoder: (seats) => {
    const messages = { ...PLAIN, mix: '/seat/mix seat:s level:f pan:f sound:i' };
    return oscEncoder({ seats, messages, ahead: null });
  },
  receive,
  soundOf,
});
