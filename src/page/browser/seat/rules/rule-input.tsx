import { texts } from '../../texts/texts.js';
import type { RuleControl } from '../../../link/state.js';
import { TimeInput } from './time-input.js';

export interface RuleInputProps {
  readonly id: string;
  readonly label: string;
  readonly takes: RuleControl['takes'];
  readonly value: string;
  /** Ids of what describes it. */
  readonly described: string;
  readonly invalid: boolean;
  readonly onChange: (value: string) => void;
}

/** What a value is set with: a number, a time, a choice, yes or no, or text. */
export function RuleInput(props: RuleInputProps) {
  const { id, takes, value, described, invalid, onChange } = props;
  const common = { id, 'aria-describedby': described, 'aria-invalid': invalid };
  switch (takes.type) {
    case 'number':
      return (
        <input
          {...common}
          class="choice"
          type="number"
          step={takes.whole ? 1 : 0.01}
          min={takes.least}
          max={takes.most ?? undefined}
          value={value}
          onInput={(event) => {
            onChange(event.currentTarget.value);
          }}
        />
      );
    case 'time':
      return <TimeInput {...props} none={takes.none} />;
    case 'choice':
      return <ChoiceInput {...props} of={takes.of} />;
    case 'yes-no':
      return <ChoiceInput {...props} of={['true', 'false']} />;
    case 'text':
      return (
        <input
          {...common}
          class="choice"
          type="text"
          spellcheck={false}
          value={value}
          onInput={(event) => {
            onChange(event.currentTarget.value);
          }}
        />
      );
  }
}

function ChoiceInput({
  id,
  value,
  of,
  described,
  invalid,
  onChange,
}: RuleInputProps & { readonly of: readonly string[] }) {
  const known = of.includes(value) ? of : [value, ...of];
  return (
    <select
      id={id}
      class="choice"
      value={value}
      aria-describedby={described}
      aria-invalid={invalid}
      onChange={(event) => {
        onChange(event.currentTarget.value);
      }}
    >
      {known.map((one) => (
        <option key={one} value={one} selected={one === value}>
          {valueWords(one)}
        </option>
      ))}
    </select>
  );
}

/** A value in the page's words; what has none is shown as a rules file has it. */
export function valueWords(value: string): string {
  const words = texts.value.seat.rules;
  if (value === 'true') return words.yes;
  if (value === 'false') return words.no;
  if (value === 'never') return words.never;
  return words.choices[value] ?? value;
}
