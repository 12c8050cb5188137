import { effect } from '@preact/signals';
import { h, render } from 'preact';
import { SpeakerPanel } from '../../src/page/browser/sound/speaker-panel.js';
import { openSpeaker } from '../../src/page/browser/sound/speaker.js';
import { connectionTo } from '../page-unit/browser/sound/fake-connection.js';

/* What tests/page/sound*.test.ts have the browser do. It is bundled as the page itself is. */

/** Renders events in an OfflineAudioContext with the worklet as it ships. */
async function offline({ begin, events, frames, rate, length }) {
  const context = new OfflineAudioContext(2, length, rate);
  await context.audioWorklet.addModule('sound/worklet.js');
  const node = new AudioWorkletNode(context, 'pluckwork-speaker', {
    numberOfInputs: 0,
    outputChannelCount: [2],
  });
  node.connect(context.destination);
  const told = [];
  const taken = new Promise((resolve) => {
    node.port.onmessage = ({ data }) => {
      told.push(data);
      // Rendering offline is one long task: all must have come before it.
      if (data.type === 'told') resolve();
    };
  });
  node.port.postMessage(begin);
  node.port.postMessage({ type: 'events', events, frames });
  node.port.postMessage({ type: 'alive' });
  await taken;
  const from = performance.now();
  const buffer = await context.startRendering();
  const elapsed = (performance.now() - from) / 1000;
  return {
    left: base64(buffer.getChannelData(0)),
    right: base64(buffer.getChannelData(1)),
    elapsed,
    told,
  };
}

function base64(samples) {
  const bytes = new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192)
    text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text);
}

/**
 * Keeps all that goes to a destination from now on: frame by frame, as it leaves. Where there is an
 * AudioWorklet it misses nothing. The ScriptProcessor of other pages misses blocks of 128 frames while
 * the page is busy (measured with a ramp in place of our renderer: up to three in three seconds).
 */
const recorded = [];
const contexts = [];
function recordDestinations() {
  const connect = AudioNode.prototype.connect;
  AudioNode.prototype.connect = function (to, ...rest) {
    if (to instanceof AudioDestinationNode) {
      contexts.push(this.context);
      if (this.context.audioWorklet) void recordExactly(this, connect);
      else recordRoughly(this, connect, to);
    }
    return connect.call(this, to, ...rest);
  };
}

async function recordExactly(node, connect) {
  await node.context.audioWorklet.addModule('recorder.js');
  const recorder = new AudioWorkletNode(node.context, 'recorder', { numberOfOutputs: 0 });
  recorder.port.onmessage = ({ data }) => recorded.push(data);
  connect.call(node, recorder);
}

function recordRoughly(node, connect, to) {
  const tap = node.context.createScriptProcessor(4096, 2, 1);
  tap.onaudioprocess = ({ inputBuffer }) => {
    recorded.push([0, 1].map((channel) => Float32Array.from(inputBuffer.getChannelData(channel))));
  };
  connect.call(node, tap);
  connect.call(tap, to);
}

const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** Sends voices as a service would whose clock began `behind` ms after the page's, some `jitter` late. */
async function playLive(fake, notes, jitter, behind = 1234) {
  const begun = performance.now();
  for (const [i, { after, events }] of notes.entries()) {
    const sent = begun + after;
    const comes = sent + jitter[i % jitter.length];
    await pause(Math.max(0, comes - performance.now()));
    const t = (sent - behind) * 1000;
    const timed = events.map((event) => ({ ...event, t }));
    fake.send({ lost: false, now: t, events: timed });
  }
}

Object.assign(globalThis, {
  hands: {
    ...{ offline, base64, recordDestinations, recorded, contexts, connectionTo, playLive, pause },
    ...{ openSpeaker, h, render, SpeakerPanel },
  },
});

/** By itself, since whatever a test evaluates counts as a touch. */
async function openUntouched() {
  const seat = { name: 'north', kind: 'hits', sound: 1, level: 1, pan: 0, strings: 1 };
  const speaker = await openSpeaker({
    ...{ seats: [seat], seed: 1, ceiling: { peak: -1, loudness: -16 } },
  });
  const button = document.createElement('button');
  button.id = 'go';
  button.textContent = 'go';
  button.onclick = () => void speaker.resume();
  document.body.append(button);
  effect(() => {
    console.log(`state ${speaker.state.value}`);
  });
}
if (location.hash === '#held') void openUntouched();
