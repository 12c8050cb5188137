import { useComputed, useSignal, useSignalEffect } from '@preact/signals';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import { Help } from '../../parts/help.js';
import { repainted } from '../../style/scheme.js';
import { texts } from '../../texts/texts.js';
import type { Numbered } from '../../../../compare/run.js';
import type { Result } from '../desk/messages.js';
import type { Question } from '../explaining.js';
import type { Looking } from '../looking.js';
import type { TakeModel } from '../model.js';
import { Legend } from '../legend.js';
import { namesOfPads, pitchOf, placeNames } from '../names.js';
import type { Playback } from '../playback.js';
import { actsOn } from './acts.js';
import { boxesOf } from './boxes.js';
import { coloursNow } from './colours.js';
import { keyDone } from './keys.js';
import { Overview } from './overview-line.js';
import type { Scene } from './paint.js';
import { paint } from './paint.js';
import { Picture } from './picture.js';
import { pointing } from './pointing.js';
import { layoutOf } from './rows.js';
import { Tools } from './tools.js';

interface TimeViewProps {
  readonly model: TakeModel;
  readonly looking: Looking;
  readonly result: Result;
  readonly playback: Playback;
  readonly onAsk: (question: Question) => void;
  /** What others do with the picture: go to a difference, with the focus on it. */
  readonly way: { current: ((one: Numbered) => void) | null };
}

/** Levels of all pads over time, with the notes of both sides under those that made them. */
export function TimeView({ model, looking, result, playback, onAsk, way }: TimeViewProps) {
  const all = texts.value;
  const t = all.take.view;
  const canvas = useRef<HTMLCanvasElement>(null);
  const size = useSignal({ width: 0, rem: 16 });
  const picture = useRef<Picture | null>(null);

  const layout = useMemo(() => {
    const names = {
      places: placeNames(result.instrument, all),
      pads: namesOfPads(result.instrument, all),
      sides: { a: t.a(result.a.name), b: t.b(result.b.name), wanted: t.wanted },
    };
    return layoutOf(result, names, size.value.rem);
  }, [result, all, size.value.rem]);
  const boxes = useMemo(
    () => boxesOf(result, model.numbered.peek(), layout.groups.length),
    [result, layout],
  );
  const acts = useMemo(
    () => actsOn({ model, looking, result, layout, boxes, texts: all, onAsk }),
    [result, layout, boxes, all, model, looking],
  );

  const scene = useComputed((): Scene | null => {
    const [element, { width, rem }] = [canvas.current, size.value];
    void repainted.value;
    const words = texts.value;
    if (!element || width === 0) return null;
    return {
      result,
      layout,
      boxes,
      width,
      rem,
      colours: coloursNow(),
      span: model.span.value,
      font: `${String(0.75 * rem)}px ${getComputedStyle(element).fontFamily}`,
      pitch: (note) => pitchOf(note, result.instrument, words),
      current: looking.current.value,
      cursor: looking.cursor.value,
      heard: playback.heard.value?.t ?? null,
      seconds: words.take.seconds,
    };
  });
  const sceneNow = useRef<() => Scene | null>(() => null);
  sceneNow.current = () => {
    const now = scene.peek();
    return now && { ...now, result, layout, boxes };
  };

  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    const measure = (): void => {
      const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
      size.value = { width: element.clientWidth, rem };
      picture.current?.soon();
    };
    picture.current = new Picture(element, (pen) => {
      const now = sceneNow.current();
      if (now) paint(pen, now);
    });
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    measure();
    return () => {
      watcher.disconnect();
      picture.current?.close();
    };
  }, []);

  useSignalEffect(() => {
    void scene.value;
    picture.current?.soon();
  });
  useEffect(() => picture.current?.soon(), [result, layout, boxes]);

  const actsNow = useRef(acts);
  actsNow.current = acts;
  way.current = (one) => {
    acts.goTo(one);
    canvas.current?.focus({ preventScroll: true });
    canvas.current?.closest('.take-view')?.scrollIntoView({ block: 'start' });
  };
  useEffect(() => {
    const element = canvas.current;
    if (!element) return;
    return pointing(element, {
      onDrag: (pixels) => actsNow.current.move(-pixels / element.clientWidth),
      onZoom: (factor, x) => actsNow.current.zoom(factor, x / element.clientWidth),
      onTap: (x, y) => actsNow.current.tap(x / element.clientWidth, y),
    });
  }, []);

  const { a, b } = result;
  return (
    <section
      class="stack take-view"
      aria-labelledby="take-view"
      onKeyDown={(event) => {
        const { target } = event;
        if (target instanceof Element && target.matches('input, select, textarea')) return;
        if (keyDone(event, target === canvas.current, acts)) event.preventDefault();
      }}
    >
      <h3 id="take-view">{t.heading}</h3>
      <Tools model={model} acts={acts} />
      <p class="take-told" aria-live="polite">
        {looking.told.value === '' ? t.touch : looking.told.value}
      </p>
      <div class="take-sheet">
        <div class="take-names" style={{ height: `${String(layout.height)}px` }}>
          {layout.rows.map(({ top, height, name, kind }, i) => (
            <span
              key={i}
              class={`take-name take-name-${kind}`}
              style={{ top: `${String(top)}px`, lineHeight: `${String(height)}px` }}
              title={name}
            >
              {name}
            </span>
          ))}
        </div>
        <canvas
          ref={canvas}
          class="take-canvas"
          style={{ height: `${String(layout.height)}px` }}
          tabIndex={0}
          role="application"
          aria-label={t.picture(result.levels.length, a.notes + b.notes)}
          aria-describedby="take-keys"
        />
      </div>
      <Overview model={model} result={result} scene={scene} />
      <Help id="take-keys">{t.keys}</Help>
      <Legend result={result} />
    </section>
  );
}
