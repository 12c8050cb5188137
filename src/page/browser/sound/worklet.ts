import { PROCESSOR, type FromRenderer, type ToRenderer } from './messages.js';
import { Rendering } from './rendering.js';

/*
 * Where the renderer runs in a browser: an AudioWorklet, or a worker where the browser offers none. (It
 * does so only to pages that came over https or from this very machine.) One file serves both.
 */

/** What this file uses of the two surroundings; TypeScript's own libraries know only one at a time. */
interface Surroundings {
  readonly sampleRate: number;
  readonly currentFrame: number;
  readonly AudioWorkletProcessor: new () => { readonly port: Port };
  registerProcessor?(name: string, processor: new () => object): void;
}

interface Port {
  onmessage: ((event: { readonly data: unknown }) => void) | null;
  postMessage(message: FromRenderer, transfer?: readonly ArrayBuffer[]): void;
}

const here = globalThis as unknown as Surroundings & Port;

/** What a worker must be told first, since it has no rate of its own. */
export interface WorkerStart {
  readonly type: 'rate';
  readonly sampleRate: number;
}

if (here.registerProcessor) {
  class SpeakerProcessor extends here.AudioWorkletProcessor {
    private readonly rendering: Rendering;

    constructor() {
      super();
      this.rendering = new Rendering(here.sampleRate, (message) => {
        this.port.postMessage(message);
      });
      this.port.onmessage = ({ data }) => {
        this.rendering.handle(data as ToRenderer);
      };
    }

    process(_inputs: unknown, outputs: readonly (readonly Float32Array[])[]): boolean {
      const left = outputs[0]?.[0];
      const right = outputs[0]?.[1];
      if (left && right) this.rendering.fill(left, right, here.currentFrame);
      return true;
    }
  }
  here.registerProcessor(PROCESSOR, SpeakerProcessor);
} else {
  let rendering: Rendering | null = null;
  here.onmessage = ({ data }) => {
    const message = data as ToRenderer | WorkerStart;
    if (message.type !== 'rate') rendering?.handle(message);
    else {
      rendering = new Rendering(message.sampleRate, (told) => {
        if (told.type !== 'rendered') here.postMessage(told);
        else here.postMessage(told, [told.left.buffer, told.right.buffer]);
      });
    }
  };
}
