import type { FromRenderer, ToRenderer } from '../../../../src/page/browser/sound/messages.js';

interface Port {
  onmessage: ((event: { data: ToRenderer }) => void) | null;
  postMessage(message: FromRenderer): void;
}
interface Processor {
  readonly port: Port;
  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean;
}
type Scope = Record<'sampleRate' | 'currentFrame', number> & {
  AudioWorkletProcessor: unknown;
  registerProcessor: unknown;
};

/** A render quantum of the Web Audio API (W3C Web Audio API 1.0, section 2.1): 128 frames. */
export const QUANTUM = 128;

/** The registered processor class, as a browser would drive it, on a clock of its own. */
export class Driven {
  readonly told: FromRenderer[] = [];
  readonly left: number[] = [];
  readonly right: number[] = [];
  constructor(
    private readonly processor: Processor,
    private readonly scope: Scope,
  ) {
    processor.port.postMessage = (message) => this.told.push(message);
  }
  get frame(): number {
    return this.scope.currentFrame;
  }
  post(message: ToRenderer): void {
    this.processor.port.onmessage!({ data: structuredClone(message) });
  }
  /** Runs whole quanta until at least `frames` more are out. */
  run(frames: number): void {
    for (const end = this.frame + frames; this.frame < end;) {
      const output = [new Float32Array(QUANTUM), new Float32Array(QUANTUM)];
      if (!this.processor.process([], [output])) throw new Error('it asked to be let go of');
      this.left.push(...output[0]!);
      this.right.push(...output[1]!);
      this.scope.currentFrame += QUANTUM;
    }
  }
  quantum(output: Float32Array[]): void {
    this.processor.process([], [output]);
    this.scope.currentFrame += QUANTUM;
  }
}

let registered: (new () => Processor) | undefined;

/** The bundle's entry in a stubbed AudioWorkletGlobalScope. */
export async function drive(sampleRate: number, currentFrame = 0): Promise<Driven> {
  const scope = globalThis as unknown as Scope;
  scope.sampleRate = sampleRate;
  scope.currentFrame = currentFrame;
  scope.AudioWorkletProcessor = class {
    readonly port: Port = { onmessage: null, postMessage: () => undefined };
  };
  scope.registerProcessor = (_name: string, one: new () => Processor) => {
    registered = one;
  };
  await import('../../../../src/page/browser/sound/worklet.js');
  return new Driven(new registered!(), scope);
}
