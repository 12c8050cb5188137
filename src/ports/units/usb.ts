import { readFileSync, realpathSync } from 'node:fs';
import { dirname, join, sep } from 'node:path';

/** What Linux knows of the USB device that a sound card is. */
export interface UsbUnit {
  /** Maker and product, as `vendor:product` in hexadecimal. */
  readonly usb: string;
  /** Null where the device tells none. */
  readonly serial: string | null;
  /** The controller and the way from it, over hubs, to the socket: `0000:00:14.0/2.3`. */
  readonly socket: string;
}

const CARDS = '/sys/class/sound';

/** A folder of a USB device is named by its bus and its way: `1-2.3`. */
const DEVICE = /^\d+-(\d+(?:\.\d+)*)$/;

/**
 * Reads which USB device an ALSA card is (Linux, Documentation/ABI/stable/sysfs-bus-usb).
 *
 * The number of the bus is no part of the socket: it may change from one start of the computer to
 * the next, while the controller's own name stays.
 *
 * @param card its number
 * @param cards where the cards are
 * @returns undefined where the card is none, is no USB device, or went while it was read
 */
export function usbOfCard(card: number, cards = CARDS): UsbUnit | undefined {
  try {
    // The card belongs to an interface of the device, or, on old kernels, to the device itself.
    let folder = realpathSync(join(cards, `card${String(card)}`, 'device'));
    while (!DEVICE.test(lastOf(folder))) {
      const above = dirname(folder);
      if (above === folder) return undefined;
      folder = above;
    }
    const parts = folder.split(sep);
    const root = parts.findIndex((part) => /^usb\d+$/.test(part));
    const way = DEVICE.exec(lastOf(folder))?.[1];
    const controller = parts[root - 1];
    const vendor = textIn(folder, 'idVendor');
    const product = textIn(folder, 'idProduct');
    if (controller === undefined || way === undefined || !vendor || !product) return undefined;
    const socket = `${controller}/${way}`;
    return { usb: `${vendor}:${product}`, serial: textIn(folder, 'serial'), socket };
  } catch {
    return undefined;
  }
}

function lastOf(path: string): string {
  return path.slice(path.lastIndexOf(sep) + 1);
}

function textIn(folder: string, name: string): string | null {
  try {
    const text = readFileSync(join(folder, name), 'utf8').trim();
    return text === '' ? null : text;
  } catch {
    return null;
  }
}
