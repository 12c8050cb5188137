import { useSignal } from '@preact/signals';
import { useId, useMemo, useRef } from 'preact/hooks';
import { Wishing } from './wish.js';

interface SliderProps {
  readonly label: string;
  /** What is in effect; while a person moves the slider, it shows theirs instead. */
  readonly value: number;
  readonly least: number;
  readonly most: number;
  readonly step: number;
  /** The value in words, such as `80 %`: shown, and read out. */
  readonly words: (value: number) => string;
  /** Asks for a value, at most 20 times a second; resolves once that was answered. */
  readonly onMove: (value: number) => Promise<unknown>;
  readonly disabled?: boolean;
  /** For screen readers, where the label needs what is around it to be understood. */
  readonly spoken?: string;
}

/** A value between two ends. It does not jump under the finger when the state comes back. */
export function Slider(props: SliderProps) {
  const { label, value, least, most, step, words, disabled, spoken } = props;
  const id = useId();
  const moved = useSignal<number | null>(null);
  const latest = useRef(props);
  latest.current = props;
  const wishing = useMemo(
    () =>
      new Wishing<number>(
        (wish) => latest.current.onMove(wish),
        (show) => {
          moved.value = show;
        },
      ),
    [],
  );
  const letGo = (): void => {
    wishing.letGo();
  };
  const shown = moved.value ?? value;
  return (
    <div class="field">
      <div class="field-head">
        <label for={id}>{label}</label>
        <output class="field-value" for={id}>
          {words(shown)}
        </output>
      </div>
      <input
        id={id}
        class="slider"
        type="range"
        min={least}
        max={most}
        step={step}
        value={shown}
        disabled={disabled ?? false}
        aria-label={spoken}
        aria-valuetext={words(shown)}
        onInput={(event) => {
          wishing.move(event.currentTarget.valueAsNumber);
        }}
        onChange={letGo}
        onBlur={letGo}
        onPointerCancel={letGo}
      />
    </div>
  );
}
