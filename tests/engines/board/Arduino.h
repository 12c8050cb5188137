// A stand-in for a board: pins with pads that charge through resistors, and a clock that runs as
// pins are used. It models nothing else of a real board.
#pragma once

#include <stddef.h>
#include <stdint.h>

const uint8_t LOW = 0, HIGH = 1, INPUT = 0, OUTPUT = 1;

void pinMode(uint8_t pin, uint8_t mode);
void digitalWrite(uint8_t pin, uint8_t level);
int digitalRead(uint8_t pin);
uint32_t micros();
void delayMicroseconds(uint32_t us);
