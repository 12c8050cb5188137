import { useRef } from 'preact/hooks';
import type { Numbered } from '../../../compare/run.js';
import type { Result } from './desk/messages.js';
import { Differences } from './differences.js';
import { ExplainPanel } from './explain-panel.js';
import type { Explaining, Question } from './explaining.js';
import { Listen } from './listen.js';
import type { Looking } from './looking.js';
import type { TakeModel } from './model.js';
import { Notes } from './parts/said.js';
import type { Playback } from './playback.js';
import { RulesThatDiffer } from './rules-that-differ.js';
import { Summary } from './summary.js';
import { TimeView } from './time/time-view.js';

interface ShownProps {
  readonly model: TakeModel;
  readonly looking: Looking;
  readonly explaining: Explaining;
  readonly playback: Playback;
  readonly result: Result;
  /** The take's name, for commands. */
  readonly name: string;
}

/** All that is shown of a comparison. */
export function Shown({ model, looking, explaining, playback, result, name }: ShownProps) {
  const way = useRef<((one: Numbered) => void) | null>(null);
  const ask = (question: Question): void => {
    void explaining.ask(question).then((found) => {
      if (found) looking.told.value = found.answer[0] ?? '';
    });
  };
  return (
    <>
      <Notes notes={result.said} />
      <Summary result={result} />
      <Listen model={model} looking={looking} result={result} playback={playback} />
      <TimeView
        model={model}
        looking={looking}
        result={result}
        playback={playback}
        onAsk={ask}
        way={way}
      />
      <ExplainPanel result={result} take={name} explaining={explaining} onAsk={ask} />
      <Differences result={result} looking={looking} onGo={(one) => way.current?.(one)} />
      <RulesThatDiffer rules={result.rules} />
    </>
  );
}
