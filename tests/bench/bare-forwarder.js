// The reference: receives a UDP packet and sends it on, and nothing else.
import { createSocket } from 'node:dgram';

const [from, to] = process.argv.slice(2).map(Number);
const lookup = (host, _options, done) => done(null, host, 4);
const socket = createSocket({ type: 'udp4', lookup });
socket.on('message', (bytes) => socket.send(bytes, to, '127.0.0.1'));
socket.bind(from, '127.0.0.1', () => process.stdout.write('ready\n'));
