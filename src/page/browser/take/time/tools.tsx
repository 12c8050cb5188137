import { Button } from '../../parts/button.js';
import { texts } from '../../texts/texts.js';
import type { TakeModel } from '../model.js';
import { timeIn } from '../telling.js';
import type { ViewActs } from './acts.js';
import { SECOND } from '../../../../time/micros.js';

interface ToolsProps {
  readonly model: TakeModel;
  readonly acts: ViewActs;
}

/** All that the keys do, as buttons. */
export function Tools({ model, acts }: ToolsProps) {
  const all = texts.value;
  const t = all.take.view;
  const { from, to } = model.span.value;
  const digits = to - from < SECOND ? 3 : 2;
  return (
    <div class="row take-tools" role="group" aria-label={t.tools}>
      <Button onPress={() => acts.move(-0.5)}>
        <span aria-hidden="true">◀</span> {t.earlier}
      </Button>
      <Button onPress={() => acts.move(0.5)}>
        {t.later} <span aria-hidden="true">▶</span>
      </Button>
      <Button onPress={() => acts.zoom(0.5)}>
        <span aria-hidden="true">−</span> {t.out}
      </Button>
      <Button onPress={() => acts.zoom(2)}>
        <span aria-hidden="true">+</span> {t.in}
      </Button>
      <Button onPress={acts.whole}>{t.whole}</Button>
      <Button onPress={() => acts.next(-1)}>{t.before}</Button>
      <Button onPress={() => acts.next(1)}>{t.after}</Button>
      <output class="take-time">
        {t.shown(timeIn(all, from, digits), timeIn(all, to, digits))}
      </output>
    </div>
  );
}
