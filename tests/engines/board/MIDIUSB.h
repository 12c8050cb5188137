// A stand-in for the USB-MIDI library: packets go to standard output, four bytes each.
#pragma once

#include <cstdint>
#include <cstdio>

struct midiEventPacket_t {
  uint8_t header, byte1, byte2, byte3;
};

struct MidiUsbStandIn {
  void sendMIDI(midiEventPacket_t packet) { std::fwrite(&packet, 1, 4, stdout); }
  void flush() {}
};

static MidiUsbStandIn MidiUSB;
