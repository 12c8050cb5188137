import { useSignal } from '@preact/signals';
import type { Connection } from '../../connection.js';
import { Button } from '../../parts/button.js';
import { Choice } from '../../parts/choice.js';
import { texts } from '../../texts/texts.js';
import type { PageRules } from '../../../link/state.js';
import type { Asking } from '../asking.js';

interface RulesChoiceProps {
  readonly connection: Connection;
  readonly asking: Asking;
  readonly seat: number;
  readonly rules: PageRules;
  readonly names: readonly string[];
}

/** Which rules file the seat plays by, and others to play by. */
export function RulesChoice({ connection, asking, seat, rules, names }: RulesChoiceProps) {
  const words = texts.value.seat.rules;
  const wanted = useSignal<string | null>(null);
  const chosen = wanted.value ?? rules.name;
  return (
    <div class="stack">
      <p>
        <strong>{words.playing(rules.name)}</strong>
      </p>
      {connection.guest.value ? null : (
        <div class="row seat-choose">
          <Choice
            label={words.choose}
            value={chosen}
            options={names.map((name) => ({ value: name, words: name }))}
            onChoose={(name) => {
              wanted.value = name;
            }}
          />
          <Button
            disabled={chosen === rules.name}
            onPress={() => {
              void asking.ask({ ask: 'rules', seat, name: chosen }).then((why) => {
                // Another may have been chosen while the answer was on its way.
                if (why === null && wanted.peek() === chosen) wanted.value = null;
              });
            }}
          >
            {words.take}
          </Button>
          {rules.tried.length > 0 ? <span class="soft">{words.takeLoses}</span> : null}
        </div>
      )}
    </div>
  );
}
