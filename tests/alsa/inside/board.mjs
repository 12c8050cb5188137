// A board with its own ports: a process of its own, so that ending it is pulling its cable.
//
//   node board.mjs PREFIX WIRE...       makes one port a wire, named PREFIX-WIRE
//
// A line on standard input, `WIRE HEX HEX…`, sends that message; what is not a port is ignored.
import { createInterface } from 'node:readline';
import { Output } from '@julusian/midi';

const [prefix, ...wires] = process.argv.slice(2);
const ports = new Map();
for (const wire of wires) {
  const port = new Output();
  port.openVirtualPort(`${prefix}-${wire}`);
  ports.set(wire, port);
}
createInterface({ input: process.stdin }).on('line', (line) => {
  const [wire, ...bytes] = line.split(' ');
  ports.get(wire)?.sendMessage(bytes.map((byte) => parseInt(byte, 16)));
});
console.log('ready');
