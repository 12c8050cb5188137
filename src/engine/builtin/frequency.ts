/** Hz of a MIDI note number: 12-tone equal temperament on A4 = 440 Hz. */
export function frequencyOf(note: number): number {
  return 440 * 2 ** ((note - 69) / 12);
}

/** Hz that a sound is tuned to: the note's, or a quarter of the sample rate where that is less. */
export function tunedTo(note: number, sampleRate: number): number {
  return Math.min(frequencyOf(note), sampleRate / 4);
}
