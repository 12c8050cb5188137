// Helpers for the scripts that run on the emulated machine: plain Node, against dist/.
import { execFileSync, spawn } from 'node:child_process';
import { createWriteStream, writeFileSync } from 'node:fs';

/** Waits until `ready` gives something; says what was waited for where it does not come. */
export async function until(what, ready, seconds = 40) {
  const end = performance.now() + seconds * 1_000;
  for (;;) {
    const found = await ready();
    if (found) return found;
    if (performance.now() > end) throw new Error(`${what} did not come within ${seconds} s`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

export function sleep(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

const children = new Set();

/** Starts a program; its output goes to /out/NAME.log. */
export function start(name, command, args) {
  const child = spawn(command, args, { stdio: ['pipe', 'pipe', 'pipe'] });
  const log = createWriteStream(`/out/${name}.log`);
  child.output = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.on('data', (chunk) => {
      child.output += chunk;
      log.write(chunk);
    });
  }
  child.ended = new Promise((resolve) => child.on('close', (code) => resolve(code)));
  children.add(child);
  return child;
}

/** Ends a program, by SIGKILL as when a cable is pulled, or by another signal. */
export async function end(child, signal = 'SIGKILL') {
  child.kill(signal);
  await child.ended;
  children.delete(child);
}

/** Ends everything that `start` started. */
export async function endAll() {
  await Promise.all([...children].map((child) => end(child)));
}

/** What `aconnect -l` prints: an independent reader of ALSA's ports and joins. */
export function aconnectList() {
  return execFileSync('aconnect', ['-l'], { encoding: 'utf8' });
}

/** The `client:port` of the first port whose client or own name has `part` in it, else undefined. */
export function address(part, list = aconnectList()) {
  let client = '';
  let clientName = '';
  for (const line of list.split('\n')) {
    const newClient = /^client (\d+): '(.*?)'/.exec(line);
    const port = /^\s+(\d+) '(.*?)\s*'/.exec(line);
    if (newClient) [, client, clientName] = newClient;
    else if (port && `${clientName}:${port[2]}`.includes(part)) return `${client}:${port[1]}`;
  }
  return undefined;
}

/** Waits for a port and gives its `client:port`. */
export function portOf(part, seconds) {
  return until(`a port with "${part}" in its name`, () => address(part), seconds);
}

/** Joins two ports as a person would at a patch bay. */
export function joinPorts(from, to) {
  execFileSync('aconnect', [from, to]);
}

/** Writes /out/NAME.json for the test outside. */
export function report(name, value) {
  writeFileSync(`/out/${name}.json`, JSON.stringify(value, null, 1));
}

/** Prints an error with its stack, ends what was started, and leaves with the status of a failure. */
export async function main(work) {
  let code = 0;
  try {
    await work();
  } catch (error) {
    console.error(error);
    code = 1;
  }
  await endAll();
  process.exit(code);
}
