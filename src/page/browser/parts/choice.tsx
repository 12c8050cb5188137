import { useId } from 'preact/hooks';

export interface Option {
  readonly value: string;
  readonly words: string;
}

export interface OptionGroup {
  readonly group: string;
  readonly options: readonly Option[];
}

interface ChoiceProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly (Option | OptionGroup)[];
  readonly onChoose: (value: string) => void;
  readonly disabled?: boolean;
  /** For screen readers, where the label needs what is around it to be understood. */
  readonly spoken?: string;
}

/** One of several. A value that is not among the options is shown as it is. */
export function Choice({ label, value, options, onChoose, disabled, spoken }: ChoiceProps) {
  const id = useId();
  const all = options.flatMap((one) => ('group' in one ? one.options : one));
  const known = all.some((one) => one.value === value);
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select
        id={id}
        class="choice"
        value={value}
        disabled={disabled ?? false}
        aria-label={spoken}
        onChange={(event) => {
          onChoose(event.currentTarget.value);
        }}
      >
        {known ? null : <Item value={value} words={value} chosen />}
        {options.map((one) =>
          'group' in one ? (
            <optgroup key={one.group} label={one.group}>
              {one.options.map((item) => (
                <Item key={item.value} {...item} chosen={item.value === value} />
              ))}
            </optgroup>
          ) : (
            <Item key={one.value} {...one} chosen={one.value === value} />
          ),
        )}
      </select>
    </div>
  );
}

function Item({ value, words, chosen }: Option & { readonly chosen: boolean }) {
  return (
    <option value={value} selected={chosen}>
      {words}
    </option>
  );
}
