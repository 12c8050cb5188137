import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { Button } from '../../parts/button.js';
import { Status } from '../../parts/status.js';
import { texts } from '../../texts/texts.js';
import type { PageRules } from '../../../link/state.js';
import type { Asking } from '../asking.js';

interface RulesActionsProps {
  readonly asking: Asking;
  readonly seat: number;
  readonly rules: PageRules;
  /** The seat's name, which is what its rules are called at first. */
  readonly name: string;
  /** The rules that are there already. */
  readonly names: readonly string[];
  /** How many values were changed and not tried. */
  readonly changes: number;
  /** Plays by what was changed; true where that is so now. */
  readonly attempt: () => Promise<boolean>;
  /** What was changed here is let go. */
  readonly onBack: () => void;
}

/** As the service takes it. */
const NAME = /^[\p{L}\p{N}][\p{L}\p{N} _-]{0,59}$/u;

/** Try, go back, or keep under a name. */
export function RulesActions(props: RulesActionsProps) {
  const { asking, seat, rules, name, names, changes, attempt, onBack } = props;
  const words = texts.value.seat.rules;
  const id = useId();
  const typed = useSignal<string | null>(null);
  const kept = useSignal<string | null>(null);
  const wanted = typed.value ?? name;
  const isName = NAME.test(wanted);
  const tried = rules.tried.length;
  const asInFile = changes === 0 && tried === 0;
  const keep = async (): Promise<void> => {
    kept.value = null;
    if (changes > 0 && !(await attempt())) return;
    const why = await asking.ask({ ask: 'keep', seat, name: wanted });
    if (why === null) kept.value = wanted;
  };
  const back = async (): Promise<void> => {
    onBack();
    kept.value = null;
    await asking.ask({ ask: 'undo-tried', seat });
  };
  return (
    <>
      <div class="seat-actions row">
        <p role="status" class="row">
          {changes > 0 ? <Status standing="warn">{words.changes(changes)}</Status> : null}
          {tried > 0 ? <Status standing="plain">{words.triedCount(tried)}</Status> : null}
          {asInFile && kept.value === null ? words.unchanged : null}
          {asInFile && kept.value !== null ? (
            <Status standing="good">{words.kept(kept.value)}</Status>
          ) : null}
        </p>
        <div class="row">
          <Button submit look="strong" off={changes === 0}>
            {words.try}
          </Button>
          <Button off={asInFile} onPress={() => void back()}>
            {words.back}
          </Button>
        </div>
      </div>
      <div class="row seat-keep">
        <div class="field">
          <label for={id}>{words.keepAs}</label>
          <input
            id={id}
            class="choice"
            type="text"
            value={wanted}
            aria-invalid={!isName}
            aria-describedby={`${id}-help`}
            onInput={(event) => {
              typed.value = event.currentTarget.value;
            }}
          />
        </div>
        <Button
          off={!isName || asInFile}
          onPress={() => {
            void keep();
          }}
        >
          {words.keep}
        </Button>
      </div>
      <p class={isName ? 'help' : 'seat-fault'} id={`${id}-help`}>
        {isName ? words.keepHelp : words.badName}
        {isName && names.includes(wanted) ? ` ${words.exists(wanted)}` : ''}
      </p>
    </>
  );
}
