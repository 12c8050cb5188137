// USB boards with a name, a serial number and a MIDI port, plugged into sockets without wires: the
// kernel's own gadget drivers on dummy_hcd. The computer's side is what a real cable would give.
import { spawnSync } from 'node:child_process';
import {
  closeSync,
  constants,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { until } from './helpers.mjs';
import { boardPlayer } from './service-hands.mjs';

const CONFIG = '/sys/kernel/config';

/** Makes a board that is not plugged in yet. `own` is a short name that nobody but this file sees. */
export function gadget(own, { product, serial }) {
  if (readdirSync(CONFIG).length === 0) spawnSync('mount', ['-t', 'configfs', 'none', CONFIG]);
  const folder = join(CONFIG, 'usb_gadget', own);
  const set = (file, text) => writeFileSync(join(folder, file), text);
  mkdirSync(folder);
  // A vendor of open hardware, whose list has no such product.
  set('idVendor', '0x1209');
  set('idProduct', '0xa1b2');
  mkdirSync(join(folder, 'strings/0x409'));
  set('strings/0x409/product', product);
  if (serial) set('strings/0x409/serialnumber', serial);
  mkdirSync(join(folder, 'configs/c.1'));
  mkdirSync(join(folder, 'functions/midi.0'));
  set('functions/midi.0/id', own);
  symlinkSync(join(folder, 'functions/midi.0'), join(folder, 'configs/c.1/midi.0'));
  let port;

  return {
    ...boardPlayer((bytes) => writeSync(port, bytes)),
    /** @param socket 0 to 3 */
    async plug(socket) {
      set('UDC', `dummy_udc.${socket}`);
      const device = await until(`the board's own end of ${own}`, () => deviceOf(own));
      port = openSync(device, constants.O_WRONLY | constants.O_NONBLOCK);
    },
    unplug() {
      closeSync(port);
      set('UDC', '\n');
    },
  };
}

/** The raw MIDI device at the board's own end of the cable. */
function deviceOf(own) {
  const cards = readFileSync('/proc/asound/cards', 'utf8');
  const card = new RegExp(`^ *(\\d+) \\[${own} `, 'm').exec(cards)?.[1];
  return card && readdirSync('/dev/snd').includes(`midiC${card}D0`) && `/dev/snd/midiC${card}D0`;
}
