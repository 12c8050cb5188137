import { messageFaults } from '../../engine/osc-messages.js';
import type { Complaint } from '../../instrument/explain.js';
import { parseOscMessages } from '../../instrument/osc-messages.js';
import type { OscMessages } from '../../instrument/types.js';

/** What is wrong with message templates that stand at `path`. */
export function templateComplaints(
  messages: OscMessages,
  path: Complaint['path'] = [],
): Complaint[] {
  return messageFaults(messages).map(({ key, column, what, next }) => ({
    path: [...path, key],
    found: `"${messages[key]}": ${what} (at its character ${String(column)})`,
    allowed: 'an address, then arguments as value:type',
    fix: next,
  }));
}

/**
 * Reads a file of message templates, their grammar included.
 *
 * @throws FileFault
 */
export function parseTemplates(text: string, file: string): OscMessages {
  return parseOscMessages(text, file, templateComplaints);
}
