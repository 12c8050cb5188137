import * as z from 'zod';
import type { Complaint } from './explain.js';
import { read, type Form } from './read.js';
import type { OscMessages } from './types.js';

const template = z
  .string()
  .regex(/^\/\S*(\s.*)?$/)
  .meta({ title: 'an OSC address that starts with "/", then its arguments' });

/** The keys of an OSC receiver's message templates; the templates' own grammar is engine/osc's. */
export const oscMessages = z.strictObject({
  on: template.describe('What is sent when a note begins.'),
  off: template.describe('What is sent when a note ends.'),
  silence: template.describe('What is sent when everything ends at once.'),
  mix: template
    .optional()
    .describe("What is sent when a seat's level, pan or sound changes; left out: nothing."),
});

export const oscMessagesForm: Form<OscMessages> = {
  schema: oscMessages.meta({
    title: 'engine messages',
    description: 'The messages that an OSC receiver is sent.',
  }),
};

/**
 * Reads a file of OSC message templates (YAML). By itself it only checks that they are there
 * and start with an address.
 *
 * @param file its name for messages
 * @param check what is wrong with the templates, for whoever knows their grammar
 * @throws FileFault
 */
export function parseOscMessages(
  text: string,
  file: string,
  check?: (messages: OscMessages) => Complaint[],
): OscMessages {
  return read(text, file, { ...oscMessagesForm, ...(check ? { check } : {}) }).value;
}
