import { useSignalEffect, type ReadonlySignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { texts } from '../../texts/texts.js';
import type { Result } from '../desk/messages.js';
import type { TakeModel } from '../model.js';
import { timeIn } from '../telling.js';
import { paintOverview } from './overview.js';
import type { Scene } from './paint.js';
import { Picture } from './picture.js';
import { endOf, within } from './span.js';

interface OverviewProps {
  readonly model: TakeModel;
  readonly result: Result;
  readonly scene: ReadonlySignal<Scene | null>;
}

/** The whole take in one line, with a frame around what is shown, and a slider that moves it. */
export function Overview({ model, result, scene }: OverviewProps) {
  const all = texts.value;
  const t = all.take.view;
  const canvas = useRef<HTMLCanvasElement>(null);
  const picture = useRef<Picture | null>(null);
  const { from, to } = model.span.value;
  const end = endOf(result.length);
  const goTo = (begin: number): void => {
    model.span.value = within({ from: begin, to: begin + to - from }, result.length);
  };

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    picture.current = new Picture(element, (pen) => {
      const now = scene.peek();
      if (!now) return;
      const { clientWidth: width, clientHeight: height } = element;
      const { span, colours, heard } = now;
      const numbered = model.numbered.peek();
      paintOverview(pen, { result: now.result, numbered, span, width, height, colours, heard });
    });
    const watcher = new ResizeObserver(() => picture.current?.soon());
    watcher.observe(element);
    return () => {
      watcher.disconnect();
      picture.current?.close();
    };
  }, []);
  useSignalEffect(() => {
    void [scene.value, model.numbered.value];
    picture.current?.soon();
  });

  const pointed = (event: PointerEvent): void => {
    const element = canvas.current;
    if (!element || event.buttons === 0) return;
    const { left, width } = element.getBoundingClientRect();
    goTo(((event.clientX - left) / width) * end - (to - from) / 2);
  };
  return (
    <div class="take-overview">
      <canvas
        ref={canvas}
        class="take-whole"
        role="img"
        aria-label={t.overview}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          pointed(event);
        }}
        onPointerMove={pointed}
      />
      <input
        type="range"
        class="slider"
        min={0}
        max={Math.max(1, Math.ceil(end - (to - from)))}
        step="any"
        value={from}
        aria-label={t.scroll}
        aria-valuetext={t.shown(timeIn(all, from), timeIn(all, to))}
        onInput={(event) => {
          goTo(event.currentTarget.valueAsNumber);
        }}
      />
    </div>
  );
}
