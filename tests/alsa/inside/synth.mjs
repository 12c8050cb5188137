// A real synthesizer and a recorder of what it plays, on the emulated machine's sound card.
import { spawnSync } from 'node:child_process';
import { portOf, start, until } from './helpers.mjs';

const SOUNDFONT = '/usr/share/sounds/sf2/TimGM6mb.sf2';

/** Starts FluidSynth on the loopback's playing side and waits until its port is there. */
export async function startSynth() {
  const settings = {
    'audio.alsa.device': 'hw:1,0',
    'audio.period-size': 512,
    'audio.periods': 4,
    'synth.reverb.active': 0,
    'synth.chorus.active': 0,
  };
  const options = Object.entries(settings).flatMap(([key, value]) => ['-o', `${key}=${value}`]);
  const args = ['-a', 'alsa', '-m', 'alsa_seq', ...options, '-is', SOUNDFONT];
  const process = start('fluidsynth', 'fluidsynth', args);
  return { process, port: await portOf('FLUID Synth', 60) };
}

/** Records what the synthesizer plays to /out/NAME.wav until `stop` is called. */
export async function record(name) {
  const file = `/tmp/${name}.wav`;
  const format = ['-f', 'S16_LE', '-r', '44100', '-c', '2', '-t', 'wav'];
  const process = start('arecord', 'arecord', ['-D', 'hw:1,1,0', ...format, file]);
  await until('the recorder', () => process.output.includes('Recording'));
  return {
    async stop() {
      process.kill('SIGINT');
      await process.ended;
      // Copied when it is whole: the shared folder is slow, and a late recorder loses sound.
      spawnSync('cp', [file, `/out/${name}.wav`]);
    },
  };
}
