A small plucked-string synthesizer for the messages of plain.yaml, in Csound 6.

Start it with the sound of this computer, before or after pluckwork:

    csound plucked.csd                          the usual sound output
    csound -odac0 plucked.csd                   another one; csound --devices lists them
    csound --omacro:PORT=9200 plucked.csd       listen at another UDP port than 9100

Turn the volume down first, above all with headphones, and bring it up slowly while somebody plays.
Ctrl+C ends it. A room plays on it with

    to:
      - osc: { host: 127.0.0.1, port: 9100 }

<CsoundSynthesizer>
<CsOptions>
-odac --nodisplays -m0 -d
</CsOptions>
<CsInstruments>

sr     = 48000
ksmps  = 32          ; 0.67 ms: how finely notes are placed in time
nchnls = 2
0dbfs  = 1

#ifndef PORT
#define PORT #9100#
#end

; The number of the voice that sounds in each slot; a voice goes on as long as its own is there.
giSlots    = 1024
giSounding ftgen 0, 0, giSlots, -2, 0
giPort     OSCinit $PORT

gaMix init 0
alwayson "Listen"
alwayson "Mix"

instr Listen
  kVoice    init 0
  kNote     init 0
  kPitch    init 0
  kStrength init 0

silence:
  kCame OSClisten giPort, "/silence", ""
  if kCame == 1 then
    kSlot = 0
    while kSlot < giSlots do
      tablew 0, kSlot, giSounding
      kSlot += 1
    od
    kgoto silence
  endif

on:
  kCame OSClisten giPort, "/note/on", "iiff", kVoice, kNote, kPitch, kStrength
  if kCame == 1 then
    tablew kVoice, kVoice % giSlots, giSounding
    event "i", "Pluck", 0, 20, kVoice, kPitch, kStrength
    kgoto on
  endif

; Read last, so that a note that begins and ends within one of our steps does end. Each voice has its
; own off before a silence, so it does not matter which of those two is read first.
off:
  kCame OSClisten giPort, "/note/off", "i", kVoice
  if kCame == 1 then
    kThere table kVoice % giSlots, giSounding
    if kThere == kVoice then
      tablew 0, kVoice % giSlots, giSounding
    endif
    kgoto off
  endif

; Last too: the messages are known to Csound only once the lines above have begun.
  prints "pluckwork synthesizer: listening at UDP port %d\n", $PORT
endin

; p4 voice, p5 frequency in Hz, p6 strength from 0 to 1. One period of noise, softer and duller for a
; softer touch, goes round and round a string that loses 60 dB in about five seconds.
instr Pluck
  kThere table p4 % giSlots, giSounding
  kEnding release
  if kThere != p4 && kEnding == 0 then
    turnoff
  endif
  aNoise  noise 0.1 + 0.6 * p6, 0
  aBurst  linseg 1, 1 / p5, 1, 0.0001, 0, 1, 0
  aTouch  tone aNoise * aBurst, 500 + 6000 * p6
  aString streson aTouch, p5, 0.001 ^ (1 / (p5 * 5))
  aEnd    linsegr 1, 0.06, 0
  gaMix  += aString * aEnd * 0.4
endin

instr Mix
  aOut clip gaMix, 0, 0.9
  outs aOut, aOut
#ifdef RECORD
  fout "$RECORD", 14, aOut
#end
  gaMix = 0
endin

</CsInstruments>
<CsScore>
f 0 z                ; until it is ended
</CsScore>
</CsoundSynthesizer>
