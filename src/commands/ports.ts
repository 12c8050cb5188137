import { listMidiPorts } from '../ports/midi/ports.js';
import { EXIT, type Call, type Command, type Exit } from './cli.js';

function list(title: string, names: readonly string[], marks: readonly string[] = []): string[] {
  const lines = names.map((name, i) => `  ${name}${marks[i] ? ` (${marks[i]})` : ''}`);
  return [title, ...(lines.length > 0 ? lines : ['  none'])];
}

function run(call: Call): Promise<Exit> {
  const { available, reason, inputs, marks, outputs } = listMidiPorts();
  if (!available) {
    call.tell({ level: 'warn', what: (reason ?? 'This computer has no MIDI').replace(/\.$/, '') });
  }
  const lines = [
    ...list('MIDI ports that can be listened to (from: { midi: … }):', inputs, marks),
    ...list('MIDI ports that can be sent to (to: midi: { port: … }):', outputs),
  ];
  for (const line of lines) call.say(line);
  return Promise.resolve(EXIT.done);
}

export const ports: Command = {
  name: 'ports',
  summary: 'list the MIDI ports',
  usage: ['ports [OPTIONS]'],
  about: `Lists the MIDI ports of this computer by the names that a room file may use; part of a name
is enough there. In brackets stands what tells units of one name apart, where the system knows it: a
serial number, and the USB socket. OSC needs no list: a seat says "from: { osc: UDP PORT }".`,
  words: 0,
  options: {},
  run,
};
