import type { Connection } from '../connection.js';

interface SpeakerPanelProps {
  readonly connection: Connection;
}

/** This device as a speaker: not there yet. */
export function SpeakerPanel({ connection }: SpeakerPanelProps) {
  return connection.guest.value ? null : <p />;
}
