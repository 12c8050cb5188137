import { buildForm } from './build.js';
import { instrumentForm } from './instrument.js';
import { oscMessagesForm } from './osc-messages.js';
import { jsonSchema } from './read.js';
import { roomForm } from './room.js';
import { rulesForm } from './rules.js';

/** The JSON Schemas of all files that people write, by name, for editors to check them while typing. */
export function jsonSchemas(): Record<string, object> {
  return {
    instrument: jsonSchema(instrumentForm.schema),
    rules: jsonSchema(rulesForm.schema),
    room: jsonSchema(roomForm.schema),
    build: jsonSchema(buildForm.schema),
    engine: jsonSchema(oscMessagesForm.schema),
  };
}
