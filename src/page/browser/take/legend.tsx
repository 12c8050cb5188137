import { CHANGE_KINDS } from '../../../compare/compare.js';
import { SIGNS } from '../../../compare/words.js';
import { More } from '../parts/help.js';
import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';

/** What the shapes in the picture mean, in words. */
export function Legend({ result }: { readonly result: Result }) {
  const t = texts.value.take.legend;
  return (
    <More summary={t.heading}>
      <ul class="take-legend">
        <li>{t.curves}</li>
        <li>{result.a.on === result.b.on ? t.dashed : t.dashedTwo}</li>
        <li>{t.boxes}</li>
        {result.wanted ? <li>{t.wanted}</li> : null}
        <li>{t.differ}</li>
        {CHANGE_KINDS.map((kind) => (
          <li key={kind}>
            <b aria-hidden="true">{SIGNS[kind]}</b> {t.kinds[kind]}
          </li>
        ))}
      </ul>
    </More>
  );
}
