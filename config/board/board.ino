// Reports the raw states of 20 touch pads, 250 times a second, over USB-MIDI. No playing logic: what
// counts as a touch, and which note it makes, is decided on the computer.
//
// How a pad is read: by how long it takes to charge. Every pad is emptied to ground, then charged
// from DRIVE_PIN through a resistor, and we count until its pin reads high. A hand on the pad makes
// it larger, so it takes longer and the count is higher. This needs one resistor a line, works with
// any digital pin, and, unlike a board's own touch inputs, through a multiplexer as well.
//
//   DRIVE_PIN --[1 Mohm]--+-- MUX_PIN ------ common pin of the 16-way multiplexer --- pads 0 to 15
//             --[1 Mohm]--+-- DIRECT_PINS[0] ---------------------------------------- pad 16
//             --[1 Mohm]--+-- DIRECT_PINS[1] ...                                      pads 17 to 19
//
// THIS SKETCH HAS NOT BEEN RUN ON A REAL BOARD. It is tested on a computer with a stand-in for the
// board's pins. See README.md here.

#include <MIDIUSB.h>

#include "frame.h"

// ---- Fill in: the pins of your board ------------------------------------------------------------

const uint8_t DRIVE_PIN = 2;
const uint8_t MUX_PIN = 3;
const uint8_t SELECT_PINS[4] = {4, 5, 6, 7};  // lowest bit first
const uint8_t DIRECT_PINS[4] = {8, 9, 10, 11};

// ---- Usually left as it is ----------------------------------------------------------------------

const uint8_t MUX_PADS = 16;
const uint8_t PADS = MUX_PADS + 4;
const uint32_t SCAN_MICROS = 4000;   // 250 scans a second
const uint32_t CHARGE_MICROS = 150;  // the longest wait for one pad: 20 of them fit in a scan
const uint32_t EMPTY_MICROS = 10;    // to empty a pad, and for the multiplexer to settle
const uint16_t FULL = 16383;

uint16_t levels[PADS];
uint8_t frame[frameLength(PADS)];
uint8_t sequence = 0;
uint32_t nextScan = 0;
uint16_t mostTurns = 1;

void emptyPad(uint8_t pin) {
  digitalWrite(DRIVE_PIN, LOW);
  pinMode(pin, OUTPUT);
  digitalWrite(pin, LOW);
  delayMicroseconds(EMPTY_MICROS);
  pinMode(pin, INPUT);
}

// Counts turns of the loop until the pin reads high, at most `most`.
uint16_t turnsUntilHigh(uint8_t pin, uint16_t most) {
  uint16_t turns = 0;
  while (turns < most && digitalRead(pin) == LOW) turns++;
  return turns;
}

uint16_t readPad(uint8_t pin) {
  emptyPad(pin);
  digitalWrite(DRIVE_PIN, HIGH);
  const uint16_t turns = turnsUntilHigh(pin, mostTurns);
  digitalWrite(DRIVE_PIN, LOW);
  return turns;
}

// How many turns this board makes in CHARGE_MICROS, measured on a pin that is held low. A pad that
// never charges (a short to ground) then costs no more than that, on a fast board and a slow one.
uint16_t measureMostTurns() {
  const uint16_t trial = 1000;
  pinMode(MUX_PIN, OUTPUT);
  digitalWrite(MUX_PIN, LOW);
  const uint32_t began = micros();
  turnsUntilHigh(MUX_PIN, trial);
  const uint32_t took = micros() - began;
  pinMode(MUX_PIN, INPUT);
  if (took == 0) return FULL;
  const uint32_t most = trial * CHARGE_MICROS / took;
  return most > FULL ? FULL : most < 1 ? 1 : (uint16_t)most;
}

void selectMuxPad(uint8_t pad) {
  for (uint8_t bit = 0; bit < 4; bit++) digitalWrite(SELECT_PINS[bit], (pad >> bit) & 1);
}

void sendFrame(uint32_t time) {
  writeFrame(frame, sequence++, time, 0, levels, PADS);
  eachUsbMidiPacket(frame, sizeof frame, [](UsbMidiPacket packet) {
    MidiUSB.sendMIDI({packet.header, packet.byte1, packet.byte2, packet.byte3});
  });
  MidiUSB.flush();
}

void setup() {
  pinMode(DRIVE_PIN, OUTPUT);
  digitalWrite(DRIVE_PIN, LOW);
  for (uint8_t i = 0; i < 4; i++) {
    pinMode(SELECT_PINS[i], OUTPUT);
    pinMode(DIRECT_PINS[i], INPUT);
  }
  selectMuxPad(0);
  mostTurns = measureMostTurns();
  nextScan = micros();
}

void loop() {
  const uint32_t now = micros();
  if ((int32_t)(now - nextScan) < 0) return;
  nextScan += SCAN_MICROS;
  // After a pause, such as a computer that was not listening, go on from now and catch nothing up.
  if ((int32_t)(now - nextScan) >= 0) nextScan = now + SCAN_MICROS;

  for (uint8_t pad = 0; pad < MUX_PADS; pad++) {
    selectMuxPad(pad);
    levels[pad] = readPad(MUX_PIN);
  }
  for (uint8_t i = 0; i < 4; i++) levels[MUX_PADS + i] = readPad(DIRECT_PINS[i]);
  sendFrame(now);
}
