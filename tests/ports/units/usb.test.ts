import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { alikeAmong, cardOf, compare, type UnitId } from '../../../src/ports/units/id.js';
import { usbOfCard } from '../../../src/ports/units/usb.js';

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'pluckwork-sys-'));
});
afterEach(() => {
  rmSync(root, { recursive: true });
});

/** A tree like Linux's /sys: a card, and the device that it belongs to. */
function card(number: number, device: string, files: Readonly<Record<string, string>> = {}): void {
  const folder = join(root, 'devices', device);
  mkdirSync(folder, { recursive: true });
  const usb = folder.replace(/\/[^/]*:1\.\d$/, '');
  for (const [name, text] of Object.entries(files)) writeFileSync(join(usb, name), `${text}\n`);
  const own = join(folder, 'sound', `card${String(number)}`);
  mkdirSync(own, { recursive: true });
  symlinkSync('../..', join(own, 'device'));
  mkdirSync(join(root, 'class'), { recursive: true });
  symlinkSync(own, join(root, 'class', `card${String(number)}`));
}

const read = (number: number) => usbOfCard(number, join(root, 'class'));
const IDS = { idVendor: '1209', idProduct: 'a1b2' };

// The real tree is read on the emulated machine, by tests/alsa/units.test.ts.
describe('the USB device of a card', () => {
  it('is told by its serial number and by its way from the controller, over a hub', () => {
    card(3, 'pci0000:00/0000:00:14.0/usb1/1-2/1-2.3/1-2.3:1.0', { ...IDS, serial: 'A1' });
    expect(read(3)).toEqual({ usb: '1209:a1b2', serial: 'A1', socket: '0000:00:14.0/2.3' });
  });

  it('has the same socket when the bus gets another number', () => {
    card(3, 'pci0000:00/0000:00:14.0/usb1/1-2/1-2:1.0', IDS);
    card(4, 'pci0000:00/0000:00:14.1/usb2/2-2/2-2:1.0', IDS);
    card(5, 'pci0000:00/0000:00:14.0/usb7/7-2/7-2:1.0', IDS);
    expect(read(5)).toEqual(read(3));
    expect(read(4)).not.toEqual(read(3));
  });

  it('has no serial number where the device tells none, or an empty one', () => {
    card(3, 'pci0000:00/0000:00:14.0/usb1/1-2/1-2:1.0', IDS);
    card(4, 'pci0000:00/0000:00:14.0/usb1/1-3/1-3:1.0', { ...IDS, serial: '' });
    expect([read(3)?.serial, read(4)?.serial]).toEqual([null, null]);
  });

  it('is none where the card is no USB device, is not there, or went while it was read', () => {
    card(0, 'platform/snd_virmidi.0');
    card(1, 'pci0000:00/0000:00:14.0/usb1/1-2/1-2:1.0');
    expect([read(0), read(1), read(9)]).toEqual([undefined, undefined, undefined]);
  });
});

describe('the card of a sequencer client', () => {
  // As `aconnect -l` lists them: client 28 card 3; compared with it in tests/alsa/units.test.ts too.
  it('is told by its number: four a card, from 16 on', () => {
    expect(cardOf('28:0')).toEqual({ card: 3, midi: '0:0' });
    expect(cardOf('19:1')).toEqual({ card: 0, midi: '3:1' });
    expect(cardOf('14:0')).toBeUndefined();
    expect(cardOf('nonsense')).toBeUndefined();
  });
});

describe('comparing units', () => {
  const unit = (over: Partial<UnitId> = {}): UnitId => ({
    usb: '1209:a1b2',
    serial: 'A1',
    socket: 'hub/1',
    midi: '0:0',
    ...over,
  });
  const none: ReadonlySet<string> = new Set();

  it.each([
    ['same', {}, {}],
    ['same', { socket: 'hub/2' }, {}],
    ['other', { serial: 'B2' }, {}],
    ['other', { midi: '0:1' }, {}],
    ['other', { usb: '1209:ffff' }, {}],
    ['other', { serial: null }, {}],
    ['same', { serial: null }, { serial: null }],
    ['unknown', { serial: null, socket: 'hub/2' }, { serial: null }],
  ] as const)('says %s of %j and %j', (wanted, now, before) => {
    expect(compare(unit(now), unit(before), none)).toBe(wanted);
  });

  it('says unknown where the system tells nothing', () => {
    expect(compare(null, unit(), none)).toBe('unknown');
  });

  it('makes nothing of a serial number that several units have', () => {
    const twins = [unit(), unit({ socket: 'hub/2' })];
    const alike = new Set(alikeAmong([...twins, unit({ serial: 'B2', socket: 'hub/3' })]));
    expect([...alike]).toEqual(['1209:a1b2 A1']);
    expect(compare(twins[0]!, twins[1]!, alike)).toBe('unknown');
    expect(compare(twins[0]!, twins[0]!, alike)).toBe('same');
    // Two ports of one board have its serial number, and are no twins.
    expect(alikeAmong([unit(), unit({ midi: '0:1' })])).toEqual([]);
  });
});
