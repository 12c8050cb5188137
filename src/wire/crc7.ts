/**
 * A 7-bit cyclic redundancy check: x^7 + x^3 + 1, beginning at 0 (known as CRC-7/MMC, the check of
 * SD card commands). It notices any one wrong bit, and unlike a sum it notices dropped zeros.
 */
const TABLE = Uint8Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x80 ? (crc << 1) ^ (0x09 << 1) : crc << 1;
  return crc & 0xff;
});

/**
 * The check of `bytes[from]` up to but not including `bytes[to]`: 0 to 127.
 *
 * @example crc7(new TextEncoder().encode('123456789')) // 0x75
 */
export function crc7(bytes: Uint8Array, from = 0, to = bytes.length): number {
  let crc = 0;
  for (let i = from; i < to; i++) crc = TABLE[crc ^ bytes[i]!]!;
  return crc >> 1;
}
