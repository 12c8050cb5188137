import type { FromRenderer, ToRenderer } from './messages.js';

/** What renders, behind one node of an AudioContext. */
export interface Device {
  readonly node: AudioNode;
  /** Resolves once what is played at once would be heard from its beginning. */
  readonly ready: Promise<void>;
  /** How far ahead of the context's time it renders, in ms. */
  ahead(): number;
  /** How often it had nothing ready when it should have. */
  gaps(): number;
  post(message: ToRenderer): void;
  close(): void;
}

/** Why nothing is rendered any more, where the browser says no more than that. */
export const STOPPED = 'the renderer stopped';

export type Told = (message: FromRenderer) => void;

/** Where the renderer's file is, beside the page's. */
export function rendererUrl(): URL {
  return new URL('sound/worklet.js', import.meta.url);
}

/** Opens an AudioWorklet; only where `context.audioWorklet` is there, which is not so over plain http. */
export async function openWorklet(
  context: AudioContext,
  told: Told,
  name: string,
): Promise<Device> {
  await context.audioWorklet.addModule(rendererUrl());
  const node = new AudioWorkletNode(context, name, {
    numberOfInputs: 0,
    numberOfOutputs: 1,
    outputChannelCount: [2],
  });
  node.port.onmessage = ({ data }) => {
    told(data as FromRenderer);
  };
  node.onprocessorerror = () => {
    told({ type: 'fault', why: STOPPED, final: true });
  };
  return {
    node,
    // While it prepares itself, its clock stands still.
    ready: Promise.resolve(),
    ahead: () => 0,
    gaps: () => 0,
    post(message) {
      node.port.postMessage(message);
    },
    close() {
      node.port.onmessage = null;
      node.disconnect();
    },
  };
}
