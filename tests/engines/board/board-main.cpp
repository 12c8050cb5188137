// Runs the sketch for a second of its own time. Arguments: nanoseconds that a read of a pin takes,
// the time of the board's clock at power-up in microseconds, and a pad that is shorted to ground
// (−1: none). Pad n has 20 + n pF; from 0.4 s to 0.6 s a hand adds 60 pF to pads 5 and 18.
#include <cmath>
#include <cstdlib>

#include "Arduino.h"
#include "board.ino"

static double nanos = 0, readNanos = 200, lastNanos = 0;
static int shorted = -1;
static uint8_t modes[32], outs[32];
static double volts[PADS];  // as a share of the supply

static double picofarads(int pad) {
  const bool touched = nanos >= 0.4e9 && nanos < 0.6e9 && (pad == 5 || pad == 18);
  return 20 + pad + (touched ? 60 : 0);
}

static int muxPad() {
  int pad = 0;
  for (int bit = 0; bit < 4; bit++) pad |= outs[SELECT_PINS[bit]] << bit;
  return pad;
}

// Lets the pad on `pin` charge or empty since the last use of any pin: t = R·C, R = 1 megohm.
static void settlePad(uint8_t pin, int pad) {
  if (pad == shorted) {
    volts[pad] = 0;
  } else if (modes[pin] == OUTPUT) {
    volts[pad] = outs[pin];
  } else {
    const double microseconds = (nanos - lastNanos) / 1000;
    const double goal = outs[DRIVE_PIN];
    volts[pad] = goal + (volts[pad] - goal) * std::exp(-microseconds / picofarads(pad));
  }
}

static void settle() {
  settlePad(MUX_PIN, muxPad());
  for (int i = 0; i < 4; i++) settlePad(DIRECT_PINS[i], MUX_PADS + i);
  lastNanos = nanos;
}

void pinMode(uint8_t pin, uint8_t mode) {
  nanos += readNanos;
  settle();
  modes[pin] = mode;
}

void digitalWrite(uint8_t pin, uint8_t level) {
  nanos += readNanos;
  settle();
  outs[pin] = level;
}

int digitalRead(uint8_t pin) {
  nanos += readNanos;
  settle();
  int pad = muxPad();
  for (int i = 0; i < 4; i++) {
    if (DIRECT_PINS[i] == pin) pad = MUX_PADS + i;
  }
  return volts[pad] > 0.5 ? HIGH : LOW;
}

static uint32_t powerUp = 0;

uint32_t micros() {
  nanos += readNanos;
  return powerUp + (uint32_t)(nanos / 1000);
}

void delayMicroseconds(uint32_t us) {
  nanos += 1000.0 * us;
  settle();
}

int main(int, char **words) {
  readNanos = std::atof(words[1]);
  powerUp = (uint32_t)std::strtoul(words[2], nullptr, 10);
  shorted = std::atoi(words[3]);
  // Pads are charged to begin with: a sketch that does not empty them reads nothing.
  for (double &volt : volts) volt = 1;
  setup();
  while (nanos < 1e9) loop();
}
