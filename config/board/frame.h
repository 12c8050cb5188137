// One scan of the pads as a MIDI SysEx message, and that as USB-MIDI packets.
//
// Plain C++ without any board's library, so that a computer can test it.
//
// A frame is, byte by byte (all but the first and the last have 7 bits):
//
//   F0
//   7D         the ID for schools and research
//   70         "raw pads"
//   01         version of this layout
//   sequence   counts frames, 0 to 127, then 0 again
//   time       4 bytes, highest first: the board's microseconds, modulo 2^28
//   first      number of the first input, 0 to 127
//   level      2 bytes, highest first, for that input and each after it: 0 to 16383
//   check      CRC-7 (x^7 + x^3 + 1, from 0) of all bytes from 7D to the last level
//   F7

#pragma once

#include <stddef.h>
#include <stdint.h>

// How many bytes a frame of `count` levels has.
constexpr size_t frameLength(uint8_t count) { return 12u + 2u * count; }

// Takes one more byte into a CRC-7, kept in the upper 7 bits of `crc`.
inline uint8_t crc7Step(uint8_t crc, uint8_t byte) {
  crc ^= byte;
  for (uint8_t bit = 0; bit < 8; bit++) {
    crc = (crc & 0x80) ? (uint8_t)((crc << 1) ^ (0x09 << 1)) : (uint8_t)(crc << 1);
  }
  return crc;
}

// Writes a frame to `out`, which has room for frameLength(count) bytes.
// first + count is at most 128; a level above 16383 is sent as 16383.
inline void writeFrame(uint8_t *out, uint8_t sequence, uint32_t micros, uint8_t first,
                       const uint16_t *levels, uint8_t count) {
  uint8_t *at = out;
  *at++ = 0xF0;
  *at++ = 0x7D;
  *at++ = 0x70;
  *at++ = 0x01;
  *at++ = sequence & 0x7F;
  *at++ = (micros >> 21) & 0x7F;
  *at++ = (micros >> 14) & 0x7F;
  *at++ = (micros >> 7) & 0x7F;
  *at++ = micros & 0x7F;
  *at++ = first & 0x7F;
  for (uint8_t i = 0; i < count; i++) {
    const uint16_t level = levels[i] > 16383 ? 16383 : levels[i];
    *at++ = level >> 7;
    *at++ = level & 0x7F;
  }
  uint8_t crc = 0;
  for (const uint8_t *byte = out + 1; byte < at; byte++) crc = crc7Step(crc, *byte);
  *at++ = crc >> 1;
  *at = 0xF7;
}

// One USB-MIDI event packet: a header (cable 0 and a code index number) and three MIDI bytes.
struct UsbMidiPacket {
  uint8_t header, byte1, byte2, byte3;
};

// Cuts a SysEx message into USB-MIDI packets and hands each to `send`. Code index numbers, from the
// USB Device Class Definition for MIDI Devices 1.0, table 4-1: 4 begins or continues a SysEx; 5, 6
// and 7 end it with one, two and three bytes.
template <typename Send>
inline void eachUsbMidiPacket(const uint8_t *message, size_t length, Send send) {
  size_t at = 0;
  while (length - at > 3) {
    send(UsbMidiPacket{0x04, message[at], message[at + 1], message[at + 2]});
    at += 3;
  }
  const size_t left = length - at;
  send(UsbMidiPacket{(uint8_t)(0x04 + left), message[at], (uint8_t)(left > 1 ? message[at + 1] : 0),
                     (uint8_t)(left > 2 ? message[at + 2] : 0)});
}
