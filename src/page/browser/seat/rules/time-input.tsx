import { texts } from '../../texts/texts.js';
import type { RuleInputProps } from './rule-input.js';
import { timeParts, timeText, UNITS, type TimeParts, type Unit } from './time-value.js';

/** A time as an amount and its unit, and `never` where that is possible. */
export function TimeInput({
  id,
  label,
  value,
  none,
  described,
  invalid,
  onChange,
}: RuleInputProps & { readonly none: boolean }) {
  const words = texts.value.seat.rules;
  const parts = timeParts(value);
  const set = (change: Partial<TimeParts>): void => {
    onChange(timeText({ ...parts, ...change }));
  };
  return (
    <div class="seat-time">
      <input
        id={id}
        class="choice"
        type="number"
        min={0}
        step="any"
        value={parts.amount}
        disabled={parts.never}
        aria-describedby={described}
        aria-invalid={invalid}
        onInput={(event) => {
          set({ amount: event.currentTarget.value });
        }}
      />
      <select
        class="choice"
        aria-label={`${label}: ${words.unit}`}
        value={parts.never ? 'never' : parts.unit}
        onChange={(event) => {
          const unit = event.currentTarget.value;
          if (unit === 'never') set({ never: true });
          else set({ never: false, unit: unit as Unit });
        }}
      >
        {UNITS.map((unit) => (
          <option key={unit} value={unit} selected={!parts.never && unit === parts.unit}>
            {words.units[unit]}
          </option>
        ))}
        {none ? (
          <option value="never" selected={parts.never}>
            {words.never}
          </option>
        ) : null}
      </select>
    </div>
  );
}
