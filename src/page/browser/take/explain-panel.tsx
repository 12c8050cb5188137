import { useSignal, useSignalEffect } from '@preact/signals';
import { useId } from 'preact/hooks';
import { SECOND } from '../../../time/micros.js';
import { Button } from '../parts/button.js';
import { Choice } from '../parts/choice.js';
import { Help } from '../parts/help.js';
import { texts } from '../texts/texts.js';
import type { Result } from './desk/messages.js';
import { Answer } from './explain-answer.js';
import type { Explaining, Question } from './explaining.js';
import { namesOfPads } from './names.js';
import { FaultBox } from './parts/said.js';
import { ProgressLine } from './parts/progress-line.js';
import { timeIn } from './telling.js';

interface ExplainProps {
  readonly result: Result;
  readonly take: string;
  readonly explaining: Explaining;
  readonly onAsk: (question: Question) => void;
}

/** Why there was a note, or none, at one time: asked by a form, or by pressing on the picture. */
export function ExplainPanel({ result, take, explaining, onAsk }: ExplainProps) {
  const all = texts.value;
  const t = all.take.explain;
  const question = explaining.question.value;
  const fault = explaining.fault.value;
  const answer = explaining.answer.value;
  const names = namesOfPads(result.instrument, all);
  return (
    <section class="sheet stack" aria-labelledby="take-explain">
      <h3 id="take-explain">{t.heading}</h3>
      <Help>{t.help}</Help>
      <QuestionForm result={result} explaining={explaining} names={names} onAsk={onAsk} />
      {question ? (
        <h4>
          {t.title(
            timeIn(all, question.at, 3),
            question.pad === null ? null : (names[question.pad] ?? ''),
            `${question.side.toUpperCase()} (${result[question.side].name})`,
          )}
        </h4>
      ) : null}
      <ProgressLine busy={explaining.busy.value ? { step: 'explain', share: null } : null} />
      {fault ? <FaultBox fault={fault} take={take} /> : null}
      {answer && !explaining.busy.value ? <Answer answer={answer} /> : null}
    </section>
  );
}

interface FormProps {
  readonly result: Result;
  readonly explaining: Explaining;
  readonly names: readonly string[];
  readonly onAsk: (question: Question) => void;
}

function QuestionForm({ result, explaining, names, onAsk }: FormProps) {
  const all = texts.value;
  const t = all.take.explain;
  const id = useId();
  const time = useSignal('');
  const pad = useSignal('');
  const side = useSignal<'a' | 'b'>('a');
  const bad = useSignal(false);
  useSignalEffect(() => {
    const asked = explaining.question.value;
    if (!asked) return;
    time.value = (asked.at / SECOND).toFixed(3);
    pad.value = asked.pad === null ? '' : String(asked.pad);
    side.value = asked.side;
    bad.value = false;
  });
  const ask = (): void => {
    const seconds = Number(time.value.replace(',', '.'));
    const at = Math.round(seconds * SECOND);
    bad.value = time.value.trim() === '' || !(at >= 0 && at <= result.length);
    if (bad.value) return;
    onAsk({ at, pad: pad.value === '' ? null : Number(pad.value), side: side.value });
  };
  return (
    <form
      class="take-choices"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        ask();
      }}
    >
      <div class="field">
        <label for={id}>{t.time}</label>
        <input
          id={id}
          class="choice"
          type="text"
          inputMode="decimal"
          autocomplete="off"
          value={time.value}
          aria-invalid={bad.value}
          aria-describedby={`${id}-bad`}
          onInput={(event) => {
            time.value = event.currentTarget.value;
          }}
        />
        <span id={`${id}-bad`} class="take-bad" role="alert">
          {bad.value ? t.badTime(timeIn(all, result.length)) : ''}
        </span>
      </div>
      <Choice
        label={t.pad}
        value={pad.value}
        options={[
          { value: '', words: t.allPads },
          ...names.map((words, i) => ({ value: String(i), words })),
        ]}
        onChoose={(value) => {
          pad.value = value;
        }}
      />
      <Choice
        label={t.side}
        value={side.value}
        options={(['a', 'b'] as const).map((value) => ({
          value,
          words: `${value.toUpperCase()} (${result[value].name})`,
        }))}
        onChoose={(value) => {
          side.value = value as 'a' | 'b';
        }}
      />
      <div class="take-submit">
        <Button look="strong" onPress={ask}>
          {t.ask}
        </Button>
      </div>
    </form>
  );
}
