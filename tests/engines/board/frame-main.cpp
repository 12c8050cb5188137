// Reads lines "sequence micros first level level …" and prints each frame, and its USB-MIDI packets, as hex.
#include <cstdio>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "frame.h"

int main() {
  std::string line;
  while (std::getline(std::cin, line)) {
    std::istringstream words(line);
    unsigned long sequence = 0, micros = 0, first = 0, level = 0;
    words >> sequence >> micros >> first;
    std::vector<uint16_t> levels;
    while (words >> level) levels.push_back((uint16_t)level);
    std::vector<uint8_t> frame(frameLength((uint8_t)levels.size()));
    writeFrame(frame.data(), (uint8_t)sequence, (uint32_t)micros, (uint8_t)first, levels.data(),
               (uint8_t)levels.size());
    for (uint8_t byte : frame) std::printf("%02x", byte);
    std::printf(" ");
    eachUsbMidiPacket(frame.data(), frame.size(), [](UsbMidiPacket packet) {
      std::printf("%02x%02x%02x%02x", packet.header, packet.byte1, packet.byte2, packet.byte3);
    });
    std::printf("\n");
  }
}
